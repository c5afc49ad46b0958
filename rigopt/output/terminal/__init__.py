"""Answers as text for a terminal."""
