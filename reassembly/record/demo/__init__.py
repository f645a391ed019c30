"""An invented workshop with its vehicles and jobs, told as facts; whatever is shown of them is computed."""
