"""The choice behind the winner: other mixes, the prices that decide, needs that conflict."""
