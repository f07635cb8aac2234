"""Choose sizes that comply under every rule set asked, all members together."""
