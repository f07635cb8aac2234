"""What would make a design comply, as an answer: changes, reliefs that would do, who permits them."""
