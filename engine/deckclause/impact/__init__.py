"""What a change of rule set does to an archive of permits."""
