"""Which boring a shaft is planned with, what its user assumes, and the judgement of every slice by the rules."""
