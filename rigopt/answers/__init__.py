"""How each question can end, as types: what is handed over and what is known of it."""
