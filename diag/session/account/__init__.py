"""What a session tells of its work, as data: suspects, readings judged, reasons of a verdict."""
