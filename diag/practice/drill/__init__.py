"""A hidden fault for a learner: levels, what is typed and what comes of it, hints and marks."""
