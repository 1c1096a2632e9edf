"""What is kept of the work: commands to write it down, find it, read it again and keep it safe."""
