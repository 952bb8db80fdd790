"""Where the parts meet: facts and rules become verdicts, verdicts a buildable sequence, stages sizes and cautions."""
