"""What a comparison comes to: cards, rows, what to do, what to ask, what drives each difference."""
