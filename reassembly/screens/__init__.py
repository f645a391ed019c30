"""What a person sees and does. The only place that imports Textual."""
