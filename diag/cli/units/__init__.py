"""`diag units`: list, show, begin and check unit files."""
