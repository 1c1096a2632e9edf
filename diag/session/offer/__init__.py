"""What is offered now: what can be done with what is there, and what is left for elsewhere."""
