"""What a terminal shows and takes: lines, lists, questions, the source of typed lines."""
