// The figure from its right side, looking to the right edge of the picture.

import { f, mix } from "./numbers";
import { hand } from "./hand";
import type { Shape } from "./shape";

export function side(p: Shape): string {
  const br = 22 * p.breath;
  const open = p.open;
  const j = open * 0.35;
  const fw = 8 * p.forward;
  const pull = -24 * p.back;
  const sh = -22 * p.lift;
  const ly = -14 * p.larynx;
  const headAt = `translate(${f(pull)} ${f(2 * p.back)}) rotate(${f(p.pitch)} 182 250)`;
  const rad = (p.pitch * Math.PI) / 180;
  const at = (x: number, y: number): string =>
    `${f(pull + 182 + (x - 182) * Math.cos(rad) - (y - 250) * Math.sin(rad))} ${f(2 * p.back + 250 + (x - 182) * Math.sin(rad) + (y - 250) * Math.cos(rad))}`;
  const profile =
    `M118 150 C116 88 160 56 206 58 C240 60 262 82 264 116 C264 128 266 134 268 140 C268 150 266 152 268 158 L286 190` +
    ` C288 198 282 202 270 203 C269 207 270 209 ${f(276 + fw)} ${f(214 - open * 0.1)} C${f(277 + fw)} ${f(219 - open * 0.1)} ${f(272 + fw)} ${f(221 - open * 0.1)} 267 ${f(221 + open * 0.05)}` +
    ` C${f(272 + fw)} ${f(223 + j)} ${f(275 + fw)} ${f(227 + j)} ${f(273 + fw)} ${f(232 + j)} C268 ${f(236 + j)} 264 ${f(238 + j)} 266 ${f(244 + j)}` +
    ` C270 ${f(256 + j)} 264 ${f(268 + j)} 250 ${f(270 + j)} C228 ${f(270 + j * 0.6)} 206 262 190 246 C176 240 150 232 134 206 C122 190 119 170 118 150 Z`;
  let s =
    `<g class="fig-body"><path class="cloth" d="M150 ${f(288 + sh * 0.2)} C104 ${f(300 + sh)} 84 360 86 430 C86 480 92 520 96 560 H${f(262 + br * 0.4)} C${f(276 + br)} 530 ${f(284 + br * 1.25)} 490 ${f(282 + br * 1.15)} 446 C${f(280 + br * 0.8)} 400 ${f(272 + br * 0.35)} 350 ${f(240)} ${f(302 + sh * 0.3)} Z"/>` +
    `<path class="shirt" d="M148 ${f(284 + sh * 0.2)} C164 300 212 314 244 302 L236 284 C214 296 180 294 158 272 Z"/></g>` +
    `<g class="fig-neck"><path class="skin-deep" d="M${at(140, 200)} C${at(150, 236)} 146 268 142 292 C168 306 214 310 244 300 C240 294 237 ${f(292 + ly)} ${f(244 + pull * 0.25)} ${f(284 + ly)} C${f(248 + pull * 0.3)} ${f(279 + ly)} ${f(240 + pull * 0.4)} ${f(272 + ly)} ${f(236 + pull * 0.6)} ${f(266 + ly * 0.4)} L${at(224, 250)} Z"/></g>` +
    `<g class="fig-head" transform="${headAt}"><path class="hair-deep" d="M104 176 C92 92 140 38 206 42 C244 46 266 76 264 112 C240 96 214 100 200 122 C196 150 180 196 146 216 C122 210 108 196 104 176 Z"/>` +
    `<path class="skin" d="${profile}"/>` +
    `<path class="shade" d="M190 246 C176 240 150 232 134 206 C150 206 168 196 178 180 C182 210 206 244 250 ${f(270 + j)} C228 ${f(270 + j * 0.6)} 206 262 190 246 Z"/>` +
    `<path class="hair" d="M104 176 C92 92 140 38 206 42 C244 46 266 76 264 115 C254 98 238 90 224 92 C204 98 200 116 196 138 C190 150 184 156 184 164 L162 166 C158 186 154 202 146 216 C122 210 108 196 104 176 Z"/>` +
    `<path class="sheen" d="M126 116 C138 78 168 56 204 56"/>` +
    `<g class="fig-ear"><ellipse class="skin" cx="174" cy="172" rx="15" ry="22"/><path class="fold" d="M170 160 q12 4 6 14 q-4 6 -4 12"/></g>` +
    `<g class="fig-face"><path class="brow" d="M234 ${f(139 - 6 * p.brow)} Q250 ${f(129 - 6 * p.brow)} 264 ${f(138 - 6 * p.brow)}"/>` +
    `<ellipse class="iris" cx="253" cy="160" rx="4.6" ry="${f(mix(1.2, 7, p.eyes))}"/><path class="line" d="M240 ${f(mix(163, 160, p.eyes))} Q252 ${f(mix(162, 149, p.eyes))} 262 ${f(mix(162, 157, p.eyes))}"/>` +
    `<path class="nostril" d="M268 196 q5 -4 9 0"/><path class="fold" d="M258 198 C250 206 248 216 248 226"/>` +
    (open > 2
      ? `<path class="cave" d="M${f(272 + fw)} ${f(219 - open * 0.1)} C260 ${f(218 - open * 0.1)} 250 ${f(220)} 246 ${f(222 + j * 0.5)} C252 ${f(226 + j)} 262 ${f(226 + j)} ${f(273 + fw)} ${f(226 + j)} Z"/>`
      : `<path class="line" d="M268 221 Q258 222 248 ${f(221 + p.corner * 0.4)}"/>`) +
    `</g></g>`;
  if (p.hand === "belly")
    s +=
      `<g class="fig-arm"><path class="cloth-deep" d="M132 330 C120 380 134 450 180 478 C206 490 226 480 ${f(244 + br)} 470 L${f(238 + br)} 436 C212 440 196 428 190 396 C186 362 178 340 168 326 Z"/><path class="seam" d="M132 332 C120 380 134 450 180 478"/></g>` +
      hand(272 + br * 1.15, 452, 98, 2, 156);
  else
    s += `<g class="fig-arm"><path class="cloth-deep" d="M136 330 C122 390 130 470 150 560 H206 C196 500 196 440 194 400 C190 360 182 340 170 326 Z"/></g>`;
  if (p.hand === "throat") s += hand(249, 276 + ly * 0.6, -42, -2);
  if (p.back > 0)
    s += `<g class="fig-guide" opacity="${f(p.back)}"><path class="way" d="M352 256 H300"/><path class="way" d="M316 238 L296 256 L316 274"/></g>`;
  if (p.air > 0)
    s += `<g class="fig-air" opacity="${f(p.air)}"><path class="air" d="M392 150 C356 152 330 170 306 190 M404 196 C372 192 346 194 322 198 M392 242 C360 236 334 222 308 206"/><path class="air-head" d="M320 182 L300 198 L322 212"/></g>`;
  if (p.air < 0) {
    const burst = Math.max(0, -p.air - 1);
    const out =
      "M302 220 C330 214 352 206 374 192 M304 226 C334 228 360 228 384 228 M302 233 C330 240 352 250 374 264";
    s +=
      `<g class="fig-air" opacity="${f(Math.min(1, -p.air) - burst)}"><path class="air" d="${out}"/><path class="air-head" d="M378 214 L398 228 L378 242"/></g>` +
      `<g class="fig-burst" opacity="${f(burst)}"><path class="way" d="M312 214 L356 186 M318 232 L372 230 M312 250 L356 276"/><path class="way" d="M374 172 L394 158 M394 230 L418 229 M374 290 L394 304"/></g>`;
  }
  return s;
}
