"""Which few tubes mix a whole picture: the best so many, what each fewer costs, what to buy."""
