"""What happened in a job, told from the journals of its sessions and from the rules."""
