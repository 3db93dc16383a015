;;; lampwright.el --- Lampwright in Emacs, by eglot  -*- lexical-binding: t -*-

;; SPDX-License-Identifier: MIT
;; Package-Requires: ((emacs "28.1") (eglot "1.9"))

;;; Commentary:

;; Lighting plans, decoder sheets, parts catalogues and lampwright.yaml get a mode of their own, which starts the
;; language server.  Any other YAML file keeps the mode that it has, and starts nothing.

;;; Code:

(require 'eglot)
(require 'project)
(require 'yaml-mode nil t)

(defalias 'lampwright--yaml
  (cond ((fboundp 'yaml-mode) 'yaml-mode)
        ;; Emacs 29 and newer has one of its own, if it knows the grammar.
        ((and (fboundp 'treesit-ready-p) (treesit-ready-p 'yaml t)) 'yaml-ts-mode)
        (t 'prog-mode))
  "What draws YAML here.")

(define-derived-mode lampwright-mode lampwright--yaml "Lampwright"
  "For the files that Lampwright reads."
  (setq-local comment-start "# "
              indent-tabs-mode nil)
  (add-hook 'project-find-functions #'lampwright--club nil t))

(put 'lampwright-mode 'eglot-language-id "yaml")

(defun lampwright--club (folder)
  "The club's folder around FOLDER: the next one with settings, as a project."
  (when-let ((club (locate-dominating-file folder "lampwright.yaml")))
    (cons 'lampwright club)))

(cl-defmethod project-root ((project (head lampwright)))
  "The folder of the club PROJECT."
  (cdr project))

;;;###autoload
(add-to-list 'auto-mode-alist '("[^/]\\.\\(?:lights\\|decoder\\|parts\\)\\.yaml\\'" . lampwright-mode))
;;;###autoload
(add-to-list 'auto-mode-alist '("/lampwright\\.yaml\\'" . lampwright-mode))
(add-to-list 'eglot-server-programs '(lampwright-mode . ("lampwright" "server")))
(add-hook 'lampwright-mode-hook #'eglot-ensure)

(provide 'lampwright)
;;; lampwright.el ends here
