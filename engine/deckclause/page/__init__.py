"""A local web page to work on one design: bound to loopback, no account, nothing from outside."""
