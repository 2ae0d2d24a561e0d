// Draws the skews as bars (p50, p95 and p99), beside the least that an asymmetric path must cost.

const WIDTH = 760;
const ROW = 30;
const LEFT = 300;
const FRAME_MS = 1000 / 60;

export function plot(rows) {
  const most = Math.max(FRAME_MS, ...rows.map(({ p99, boundMs }) => Math.max(p99, boundMs))) * 1.15;
  const x = (ms) => LEFT + (Math.min(ms, most) / most) * (WIDTH - LEFT - 20);
  const bar = ({ scene, p50, p95, p99, boundMs }, index) => {
    const y = 40 + index * ROW;
    const part = (ms, height, fill) => `<rect x="${LEFT}" y="${y - height / 2}" width="${(x(ms) - LEFT).toFixed(1)}" height="${height}" fill="${fill}"/>`;
    const bound = boundMs > 0 ? `<path d="M${x(boundMs).toFixed(1)} ${y - 12}v24" stroke="#7a1f12" stroke-width="3"/>` : "";
    return `<text x="${LEFT - 10}" y="${y + 5}" text-anchor="end">${scene}</text>${part(p99, 18, "#cfd6d0")}${part(p95, 12, "#9adbe2")}${part(p50, 6, "#0d4a57")}${bound}`;
  };
  const height = 60 + rows.length * ROW;
  const frame = `<path d="M${x(FRAME_MS).toFixed(1)} 24V${height - 30}" stroke="#14262c" stroke-dasharray="4 4"/><text x="${x(FRAME_MS).toFixed(1)}" y="18" text-anchor="middle">one frame</text>`;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" font-family="sans-serif" font-size="14"><rect width="${WIDTH}" height="${height}" fill="#fff"/>${frame}${rows.map(bar).join("")}<text x="${LEFT}" y="${height - 8}">ms between two screens: median, 95 and 99 of 100; red: half of the path's asymmetry</text></svg>`;
}
