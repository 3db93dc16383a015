;;; Does in a real Emacs what a person would, and says what came of it as JSON, a line each.  -*- lexical-binding: t -*-
;; CLUB is the folder of the example club, INIT what the page tells people to write into their own file.

(package-initialize)
(load (getenv "INIT") nil t)
(setq make-backup-files nil create-lockfiles nil auto-save-default nil)

(defun say (what value)
  (princ (concat (json-serialize (vector what value) :false-object nil) "\n")))

(defun wait (what condition)
  "Wait for CONDITION.  Idle timers never fire in batch, so what hangs on them is done here."
  (let ((end (+ (float-time) 30)) (found nil))
    (while (not (setq found (funcall condition)))
      (when (> (float-time) end)
        (say "gave up" what)
        (kill-emacs 3))
      (accept-process-output nil 0.05))
    found))

(defun in-club (name)
  (expand-file-name name (getenv "CLUB")))

(defun go-to (text)
  (goto-char (point-min))
  (search-forward text)
  (goto-char (match-beginning 0)))

(defun findings ()
  "What flymake shows: rule and message, what is marked, and the level."
  (flymake-start nil)
  (mapcar (lambda (each)
            (vector (flymake-diagnostic-text each)
                    (buffer-substring-no-properties (flymake-diagnostic-beg each) (flymake-diagnostic-end each))
                    (symbol-name (flymake-diagnostic-type each))))
          (flymake-diagnostics)))

(defun tell-server ()
  "What an idle timer does while a person thinks."
  (eglot--signal-textDocument/didChange))

(find-file (in-club "other.yaml"))
(run-hooks 'post-command-hook)
(say "other" (symbol-name major-mode))
(say "other is served" (if (eglot-current-server) t :null))

(dolist (name '("lampwright.yaml" "club.parts.yaml" "decoders/grit-six.decoder.yaml"
                "mistakes/unprotected-led.lights.yaml"))
  (find-file (in-club name))
  (run-hooks 'post-command-hook)
  (wait name #'eglot-current-server)
  (say "served" name))

;; From here on in the plan of the beginner.
(dolist (each (wait "findings" #'findings))
  (say "diagnostic" each))

(go-to "front headlamp]")
(let ((hover nil))
  (eglot-hover-eldoc-function (lambda (text &rest _) (setq hover text)))
  (wait "hover" (lambda () hover))
  (say "hover" (substring-no-properties hover)))

(save-window-excursion
  (save-excursion
    (go-to "grit-six")
    (xref-find-definitions "grit-six")
    (say "definition" (file-relative-name buffer-file-name (in-club ".")))))
(switch-to-buffer "unprotected-led.lights.yaml")

;; The quick fix, as a person takes it: the first thing that is offered.
(cl-letf ((last-nonmenu-event ?\r)
          ((symbol-function 'completing-read)
           (lambda (_ offers &rest _)
             (say "offered" (caar offers))
             (caar offers))))
  (go-to "front headlamp]")
  (eglot-code-actions (point) nil "quickfix" t))
(save-buffer)
(wait "the finding to go" (lambda () (null (findings))))
(say "left" (vconcat (findings)))

;; A second output, typed as people type: the bracket is open when the resistor is asked for.
(go-to "keys:")
(insert "  yellow: {circuit: [front headlamp, ")
(save-excursion (insert "\n"))
(tell-server)
(let ((offers (nth 2 (eglot-completion-at-point))))
  (say "completion" (vconcat (mapcar #'substring-no-properties (seq-take (all-completions "" offers) 3)))))
(delete-region (line-beginning-position) (1+ (line-end-position)))
(tell-server)

(go-to "front headlamp:")
(eglot-rename "smokebox lamp")
(save-buffer)
(go-to "warm white 0805")
(cl-letf (((symbol-function 'y-or-n-p) (lambda (&rest _) (say "asked" "before it changes other files") t)))
  (eglot-rename "soft white 0805"))
(save-some-buffers t)
(say "messages" (with-current-buffer (messages-buffer) (buffer-string)))
(kill-emacs 0)
