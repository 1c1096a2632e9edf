"""The record of jobs at the keyboard."""
