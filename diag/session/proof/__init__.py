"""What a reading should be and how it is taken; the run after a repair, and how a session ends."""
