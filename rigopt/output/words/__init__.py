"""Sentences and names: data in, words out."""
