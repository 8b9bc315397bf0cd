@rem Windows has no exec; package.json says it so that elsewhere no shell stands between npm and Sojourn.
@%*
