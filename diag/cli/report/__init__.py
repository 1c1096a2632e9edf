"""`diag report`: a job on the screen, as Markdown, or as a page to print."""
