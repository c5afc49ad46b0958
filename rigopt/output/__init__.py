"""Forms in which an answer is shown; each is a function from outcome to text."""
