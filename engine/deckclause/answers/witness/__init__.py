"""What a person looks up in a book of their own, and what all who did so found."""
