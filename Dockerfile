# One image for server and worker; SOJOURN_ROLE says which.
FROM node:22-bookworm-slim
WORKDIR /sojourn
COPY package.json package-lock.json .npmrc ./
COPY scripts scripts
RUN npm ci --no-audit --no-fund --ignore-scripts
COPY . .
RUN node scripts/setup.mjs && mkdir -p /data /backups && chown -R node:node /data /backups /sojourn
USER node
ENV SOJOURN_HOME=/data HOST=0.0.0.0 PORT=4700
EXPOSE 4700
STOPSIGNAL SIGTERM
CMD ["node", "scripts/start.mjs"]
