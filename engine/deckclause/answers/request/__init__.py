"""The request for relief as one frozen answer: every decision in it made, nothing left but to print."""
