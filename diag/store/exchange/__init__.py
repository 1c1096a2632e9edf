"""Records of several benches made one: jobs and sessions as text, and their union."""
