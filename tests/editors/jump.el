;;; Compiles with LINE, goes from finding to finding, and says as JSON, a line each, where that led.  -*- lexical-binding: t -*-
(load (getenv "INIT") nil t)
(setq make-backup-files nil create-lockfiles nil)
;; As an Emacs that is not in batch has it for what it starts.
(setenv "TERM" "dumb")
(compile (getenv "LINE"))
(while (process-live-p (get-buffer-process "*compilation*"))
  (accept-process-output nil 0.05))
(while (accept-process-output nil 0.1))
(condition-case nil
    (while t
      (next-error)
      (with-current-buffer (window-buffer)
        (let ((column (1+ (- (point) (line-beginning-position)))))
          (princ (concat (json-serialize (vector "at" (vector buffer-file-name (line-number-at-pos) column))) "\n")))))
  (user-error nil))
