"""The fast path for one design: each rule set printed as Python from its lowered clauses."""
