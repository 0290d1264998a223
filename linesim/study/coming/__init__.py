"""The coming shift: from what is on the machines now, what will be due when, who and what is needed, what comes out."""
