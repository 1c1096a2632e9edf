"""Practice at the bench: drills, exercises for teachers, and what else a learner looks at."""
