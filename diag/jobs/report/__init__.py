"""What is handed over of a job: for the owner, for the file, as a quote; written three ways."""
