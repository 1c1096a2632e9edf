"""What the record of jobs teaches: how common causes are here, and how good verdicts were."""
