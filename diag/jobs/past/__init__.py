"""What was done to one heater before: its jobs, its repairs, and readings over the years."""
