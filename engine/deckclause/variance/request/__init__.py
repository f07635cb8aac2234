"""The request for relief: its model, fields and checks."""
