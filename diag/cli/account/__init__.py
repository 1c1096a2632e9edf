"""How a session's standing looks: the line after each answer, the lists, the reasons."""
