"""What text, JSON and pages all show, computed once."""
