"""The shop's dates for calendar programs: when to coat, when to retension, when jobs are due."""
