"""The ways beside the plan: the cautious plan, the other families, the rungs of the ladder, relief wells."""
