// The figure from the front.

import { f, mix, morph } from "./numbers";
import { hand } from "./hand";
import { mouth } from "./mouth";
import type { Shape } from "./shape";

export function front(p: Shape, id: string): string {
  const t = Math.min(1, Math.abs(p.turn));
  const mirror = p.turn < 0 ? ' transform="translate(400 0) scale(-1 1)"' : "";
  const y = -40 * p.lift;
  const L = (n: number): string => f(n + y);
  const shoulders =
    `M14 420 C16 ${L(352)} 50 ${L(322)} 112 ${L(308)} C142 ${L(301)} 160 ${f(296 + y * 0.6)} 168 ${f(280 + y * 0.15)}` +
    ` L200 ${f(338 + y * 0.3)} L232 ${f(280 + y * 0.15)} C240 ${f(296 + y * 0.6)} 258 ${L(301)} 288 ${L(308)} C350 ${L(322)} 384 ${L(352)} 386 420 Z`;
  const jaw = p.open * 0.42; // the chin goes down with the mouth
  const J = (n: number): string => f(n + jaw);
  const head = morph(
    `M130 142 C130 192 138 226 166 ${J(250)} C184 ${J(265)} 216 ${J(265)} 234 ${J(250)} C262 226 270 192 270 142 C270 92 240 62 200 62 C160 62 130 92 130 142 Z`,
    `M122 146 C124 190 140 216 176 ${J(240)} C200 ${J(262)} 234 ${J(270)} 250 ${J(254)} C262 238 267 200 264 156 C266 98 240 60 194 60 C146 60 120 96 122 146 Z`,
    t,
  );
  const cheek = morph(
    `M130 142 C130 192 138 226 166 ${J(250)} C174 ${J(257)} 184 ${J(260)} 194 ${J(261)} C168 240 150 196 143 119 Z`,
    `M122 146 C124 190 140 216 176 ${J(240)} C190 ${J(253)} 208 ${J(262)} 222 ${J(263)} C196 240 178 214 168 150 Z`,
    t,
  );
  const hairBack = morph(
    "M118 168 C112 92 146 40 200 40 C254 40 288 92 282 168 C280 184 276 190 272 194 L128 194 C124 190 120 184 118 168 Z",
    "M104 176 C94 92 136 38 196 38 C252 38 280 84 272 142 C270 150 266 156 260 160 L140 224 C122 216 108 200 104 176 Z",
    t,
  );
  const hairFront = morph(
    "M118 170 C112 92 146 40 200 40 C254 40 288 92 282 170 C278 152 272 140 268 128 C258 108 244 96 222 88 C190 98 158 100 142 118 C134 130 128 150 118 170 C118 170 118 170 118 170 Z",
    "M104 176 C94 92 136 38 196 38 C252 38 280 84 272 142 C270 132 268 124 264 116 C258 102 250 94 240 86 C214 98 190 98 180 124 C176 150 160 190 142 222 C122 216 106 200 104 176 Z",
    t,
  );
  const sheen = morph("M140 108 C152 76 178 58 208 56", "M128 112 C138 78 164 58 196 54", t);
  const nose = morph(
    "M183 199 C182 201 181 203 182 205 C184 211 193 210 200 213 C207 210 216 211 218 205",
    "M257 184 C260 189 263 192 266 197 C269 204 263 208 256 208 C250 209 245 206 244 202",
    t,
  );
  const noseFill = morph(
    "M197 156 C194 176 188 188 182 200 C181 211 193 210 200 213 C207 210 219 211 218 200 C213 188 208 176 206 156 Z",
    "M228 158 C230 176 232 190 241 203 C246 211 259 211 264 207 C270 204 269 200 265 195 C256 185 247 172 240 156 Z",
    t,
  );
  const near = { x: mix(170, 199, t), far: mix(230, 248, t) };
  const noseShade = morph(
    "M206 158 C208 176 213 188 218 200 C219 209 208 210 201 212 C206 204 207 190 203 176 Z",
    "M214 160 C222 176 228 192 240 204 C246 209 246 210 242 206 C234 198 222 190 216 172 Z",
    t,
  );
  const eyeY = 162;
  const eye = (x: number, k: number): string => {
    const h = mix(1.2, 7.2, p.eyes);
    return `<g class="fig-eye"><ellipse class="iris" cx="${f(x)}" cy="${eyeY}" rx="${f(6.4 * k)}" ry="${f(h)}"/><path class="line" d="M${f(x - 14 * k)} ${f(eyeY - h * 0.2)} Q${f(x)} ${f(eyeY - h * 1.75)} ${f(x + 14 * k)} ${f(eyeY - h * 0.1)}"/></g>`;
  };
  const b = -7 * p.brow;
  const brow = (x: number, k: number, d: number): string =>
    `<path class="brow" d="M${f(x - 18 * k)} ${f(141 + b + (d < 0 ? 5 : 0))} Q${f(x)} ${f(130 + b)} ${f(x + 18 * k)} ${f(141 + b + (d > 0 ? 5 : 0))}"/>`;
  const rad = (p.tilt * Math.PI) / 180;
  const at = (x: number, yy: number): string =>
    `${f(200 + (x - 200) * Math.cos(rad) - (yy - 284) * Math.sin(rad))} ${f(284 + (x - 200) * Math.sin(rad) + (yy - 284) * Math.cos(rad))}`;
  const mx = mix(200, 241, t);
  const headTurn = `rotate(${f(p.tilt)} 200 284)`;
  const out =
    `<g class="fig-neck"><path class="skin-deep" d="M${at(162, 214)} C${at(163, 244)} 164 276 156 300 L200 344 L244 300 C236 276 ${at(237, 244)} ${at(238, 214)} Z"/>` +
    (t > 0.25
      ? `<path class="fold wide" opacity="${f(t)}" d="M${p.turn < 0 ? "234 240 C228 268 218 292 206 314" : "166 240 C172 268 182 292 194 314"}"/>`
      : "") +
    `</g>` +
    `<g class="fig-body"><path class="cloth" d="${shoulders}"/>` +
    `<path class="seam" d="M84 ${L(372)} C90 390 93 404 94 420 M316 ${L(372)} C310 390 307 404 306 420"/>` +
    `<path class="shirt" d="M168 ${f(276 + y * 0.15)} C158 ${f(284 + y * 0.3)} 152 ${f(294 + y * 0.4)} 150 ${f(302 + y * 0.5)} L186 ${f(352 + y * 0.3)} L200 ${f(338 + y * 0.3)} L214 ${f(352 + y * 0.3)} L250 ${f(302 + y * 0.5)} C248 ${f(294 + y * 0.4)} 242 ${f(284 + y * 0.3)} 232 ${f(276 + y * 0.15)} L200 ${f(318 + y * 0.3)} Z"/>` +
    `<path class="seam" d="M200 ${f(340 + y * 0.3)} V420"/></g>` +
    `<g class="fig-head" transform="${headTurn}"><g${mirror}>` +
    `<path class="hair-deep" d="${hairBack}"/>` +
    `<ellipse class="skin" cx="${f(mix(271, 258, t))}" cy="170" rx="${f(mix(12, 1, t))}" ry="21"/>` +
    `<path class="skin" d="${head}"/><path class="shade" d="${cheek}"/>` +
    `<path class="hair" d="${hairFront}"/><path class="sheen" d="${sheen}"/>` +
    `<g class="fig-ear" transform="translate(${f(mix(129, 158, t))} 172)"><ellipse class="skin" rx="${f(mix(12, 15, t))}" ry="22"/><path class="fold" d="M${f(mix(-4, 4, t))} -11 q${f(mix(-6, 8, t))} 8 ${f(mix(1, -1, t))} 20"/></g>` +
    (p.puff > 0
      ? `<g opacity="${f(p.puff)}"><path class="skin" d="M130 158 C122 176 110 196 121 222 C131 246 156 258 178 258 C192 262 208 262 222 258 C244 258 269 246 279 222 C290 196 278 176 270 158 Z"/><path class="shade" d="M130 158 C122 176 110 196 121 222 C131 246 156 258 178 258 C150 246 134 224 134 198 C134 184 134 172 136 160 Z"/></g>`
      : "") +
    `<g class="fig-face">${brow(near.x, 1, -1)}${brow(near.far, mix(1, 0.55, t), 1)}${eye(near.x, 1)}${eye(near.far, mix(1, 0.6, t))}` +
    `<path class="skin" d="${noseFill}"/><path class="shade" opacity="${f(1 - t)}" d="${noseShade}"/><path class="line" d="${nose}"/>` +
    `<path class="fold" opacity="${f(1 - p.puff)}" d="${morph("M176 206 C168 214 163 222 161 230 M224 206 C232 214 237 222 239 230", "M226 208 C218 216 214 224 214 234 M266 209 C266 209 266 209 266 209", t)}"/>` +
    `<path class="fold" d="${morph("M150 170 q-5 4 -8 9 M250 170 q5 4 8 9", "M184 170 q-5 4 -8 9 M250 164 q0 0 0 0", t)}"/>` +
    `<g transform="translate(${f(mx)} ${f(232 - p.open * 0.12)}) scale(${Math.round(mix(0.6, 0.46, t) * 100) / 100} 0.56)">${mouth(p, id)}</g></g>` +
    `</g></g>`;
  return out + hands(p) + guides(p);
}

function hands(p: Shape): string {
  return p.hand === "throat" ? hand(205, 281, -47, -3) : "";
}

/** Where something moves, and that a voice sounds. */
function guides(p: Shape): string {
  let s = "";
  if (p.lift > 0)
    s += `<g class="fig-guide" opacity="${f(p.lift)}"><path class="way" d="M52 262 V206 M36 224 L52 204 L68 224 M348 262 V206 M332 224 L348 204 L364 224"/></g>`;
  if (p.puff > 0)
    s += `<g class="fig-guide" opacity="${f(p.puff)}"><path class="way" d="M106 216 H66 M82 202 L64 216 L82 230 M294 216 H334 M318 202 L336 216 L318 230"/></g>`;
  if (p.air < 0)
    s += `<g class="fig-voice" opacity="${f(Math.min(1, -p.air))}"><path class="way" d="M296 218 q12 18 0 36 M318 206 q20 30 0 60 M340 194 q28 42 0 84"/></g>`;
  return s;
}
