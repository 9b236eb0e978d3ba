"""Three views of one Recommendation: page, terminal text, JSON. They show; they work nothing out."""
