"""Jobs: what was done for an owner, kept, read again, learned from and handed over."""
