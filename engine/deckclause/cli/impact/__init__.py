"""The commands on an archive of designs."""
