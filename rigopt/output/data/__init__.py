"""Answers as JSON and CSV."""
