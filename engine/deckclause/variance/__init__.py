"""Relief: what would make a failing design comply, and the request for it."""
