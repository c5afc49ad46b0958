"""Sentences, names and the cells of tables: data in, words out, of no width.

What two forms say alike is said here. It imports `facts/` and nothing of the forms.
"""
