"""What a line may tell of by how often its words were said of each thing before."""
