// The mouth around 0,0: the same drawing serves the small face and the close-up.

import { f, mix } from "./numbers";
import type { Shape } from "./shape";

export function mouth(p: Shape, id: string): string {
  const up = -0.42 * p.open;
  const down = 1.35 * p.open;
  const lu = p.lip * (0.85 + 0.25 * p.forward);
  const ll = p.lip * (1.15 + 0.35 * p.forward);
  const c = p.corner;
  const inW = p.w - 5 - 3 * p.forward;
  const bow = 3 * (1 - p.press) * (1 - p.forward * 0.7);
  const k1 = mix(0.62, 1, p.forward);
  const k2 = mix(0.7, 0.8, p.forward);
  const outer =
    `M${f(-p.w)} ${f(c)} C${f(-p.w * k1)} ${f(up - lu * k2 + c * 0.4)} ${f(-p.w * 0.5)} ${f(up - lu)} ${f(-p.w * 0.2)} ${f(up - lu)}` +
    ` Q0 ${f(up - lu + bow * 2)} ${f(p.w * 0.2)} ${f(up - lu)}` +
    ` C${f(p.w * 0.5)} ${f(up - lu)} ${f(p.w * k1)} ${f(up - lu * k2 + c * 0.4)} ${f(p.w)} ${f(c)}` +
    ` C${f(p.w * mix(0.7, 1, p.forward))} ${f(down + ll * 0.75 + c * 0.3)} ${f(p.w * mix(0.36, 0.5, p.forward))} ${f(down + ll)} 0 ${f(down + ll)}` +
    ` C${f(-p.w * mix(0.36, 0.5, p.forward))} ${f(down + ll)} ${f(-p.w * mix(0.7, 1, p.forward))} ${f(down + ll * 0.75 + c * 0.3)} ${f(-p.w)} ${f(c)} Z`;
  const sag = p.open > 0.5 ? 0 : 1.5 - c * 0.5;
  const inner =
    `M${f(-inW)} ${f(c)} C${f(-inW * 0.6)} ${f(up + c * 0.35 + sag)} ${f(-inW * 0.3)} ${f(up + sag)} 0 ${f(up + sag)}` +
    ` C${f(inW * 0.3)} ${f(up + sag)} ${f(inW * 0.6)} ${f(up + c * 0.35 + sag)} ${f(inW)} ${f(c)}` +
    ` C${f(inW * 0.72)} ${f(down * 0.86 + c * 0.3 + sag)} ${f(inW * 0.4)} ${f(down + sag)} 0 ${f(down + sag)}` +
    ` C${f(-inW * 0.4)} ${f(down + sag)} ${f(-inW * 0.72)} ${f(down * 0.86 + c * 0.3 + sag)} ${f(-inW)} ${f(c)} Z`;
  const upper = Math.min(1, p.teeth);
  const lower = Math.max(0, p.teeth - 1);
  const teethH = Math.min(13, (down - up) * 0.5) * upper + 2 * upper;
  const tongueTop = mix(down - 0.62 * p.open, up + teethH * 0.6, p.rise);
  let s = `<g class="fig-mouth"><path class="lips" d="${outer}"/>`;
  s += `<clipPath id="${id}"><path d="${inner}"/></clipPath><path class="cave" d="${inner}"/>`;
  if (p.open > 2) {
    s += `<g clip-path="url(#${id})">`;
    if (!p.tongue)
      s += `<ellipse class="tongue" cx="0" cy="${f(tongueTop + 26)}" rx="${f(inW * mix(0.78, 0.5, p.rise))}" ry="${f(mix(30, 34, p.rise))}"/>`;
    if (p.teeth) {
      s += `<path class="teeth" d="M${f(-inW)} ${f(up - 24)} H${f(inW)} V${f(up + teethH * 0.7 + c * 0.4)} Q0 ${f(up + teethH * 1.35)} ${f(-inW)} ${f(up + teethH * 0.7 + c * 0.4)} Z"/>`;
      if (lower)
        s += `<path class="teeth" d="M${f(-inW)} ${f(down + 24)} H${f(inW)} V${f(down - 9 * lower + c * 0.4)} Q0 ${f(down - 12 * lower)} ${f(-inW)} ${f(down - 9 * lower + c * 0.4)} Z"/>`;
      s += `<path class="gap" d="M0 ${f(up - 4)} V${f(up + teethH)} M${f(-inW * 0.28)} ${f(up - 4)} V${f(up + teethH * 0.95)} M${f(inW * 0.28)} ${f(up - 4)} V${f(up + teethH * 0.95)} M${f(-inW * 0.54)} ${f(up - 4)} V${f(up + teethH * 0.88)} M${f(inW * 0.54)} ${f(up - 4)} V${f(up + teethH * 0.88)}"/>`;
    }
    s += "</g>";
  }
  s += `<path class="edge-line" d="${inner}"/>`;
  if (p.tongue) {
    const tw = 22;
    const ty = up + teethH * 0.9;
    const th = 8 + 17 * p.tongue;
    const to = 46 * p.aside;
    s += `<path class="tongue edge" d="M${-tw} ${f(ty)} C${f(-tw - 2 + to)} ${f(ty + th * 0.7)} ${f(-tw * 0.6 + to)} ${f(ty + th)} ${f(to)} ${f(ty + th)} C${f(tw * 0.6 + to)} ${f(ty + th)} ${f(tw + 2 + to)} ${f(ty + th * 0.7)} ${tw} ${f(ty)} Q0 ${f(ty + 5)} ${-tw} ${f(ty)} Z"/>`;
  }
  if (p.rise > 0.5) {
    const tip = f(up + teethH + 8);
    s += `<path class="edge-line" d="M0 ${f(down - 6)} V${tip} M-9 ${f(up + teethH + 18)} L0 ${tip} L9 ${f(up + teethH + 18)}"/>`;
  }
  if (p.forward > 0.4) {
    const k = p.w + 9;
    s += `<path class="lip-fold" d="M${f(-p.w * 0.4)} ${f(up - lu * 0.2)} L${f(-p.w * 0.62)} ${f(up - lu * 0.72)} M0 ${f(up - lu * 0.15)} V${f(up - lu * 0.62)} M${f(p.w * 0.4)} ${f(up - lu * 0.2)} L${f(p.w * 0.62)} ${f(up - lu * 0.72)}"/>`;
    s += `<path class="fold" d="M${f(-k)} -13 q-6 13 0 25 M${f(k)} -13 q6 13 0 25"/>`;
  }
  if (c < -3) {
    const k = p.w + 8;
    s += `<path class="fold" d="M${f(-k)} ${f(c - 11)} q-8 9 -3 20 M${f(k)} ${f(c - 11)} q8 9 3 20"/>`;
  }
  if (p.press > 0.7)
    s += `<path class="fold" d="M${f(-p.w - 7)} -7 q-5 7 0 14 M${f(p.w + 7)} -7 q5 7 0 14"/>`;
  return s + "</g>";
}

export function closeUp(p: Shape, id: string): string {
  const j = p.open * 0.95;
  return (
    `<g class="fig-neck"><path class="skin-deep" d="M-72 60 H72 V190 H-72 Z"/></g>` +
    `<g class="fig-jaw"><path class="skin" d="M-134 -130 C-134 -40 -112 ${f(28 + j * 0.5)} -66 ${f(84 + j * 0.9)} C-36 ${f(112 + j)} 36 ${f(112 + j)} 66 ${f(84 + j * 0.9)} C112 ${f(28 + j * 0.5)} 134 -40 134 -130 Z"/>` +
    `<path class="shade" d="M-134 -130 C-134 -40 -112 ${f(28 + j * 0.5)} -66 ${f(84 + j * 0.9)} C-54 ${f(96 + j)} -38 ${f(102 + j)} -22 ${f(105 + j)} C-66 ${f(70 + j)} -100 10 -108 -130 Z"/></g>` +
    `<g class="fig-nose"><path class="shade" d="M-20 -130 C-24 -100 -38 -88 -32 -74 C-28 -64 -14 -66 0 -60 C14 -66 28 -64 32 -74 C38 -88 24 -100 20 -130 Z"/>` +
    `<path class="line" d="M-34 -78 C-32 -64 -16 -66 0 -58 C16 -66 32 -64 34 -78"/><path class="nostril" d="M-20 -69 q7 -5 13 2 M20 -69 q-7 -5 -13 2"/></g>` +
    `<g class="fig-age"><path class="fold" d="M-48 -70 C-62 -52 -74 -34 -${f(74 + p.w * 0.2)} -8 M48 -70 C62 -52 74 -34 ${f(74 + p.w * 0.2)} -8 M-6 -48 V-${f(30 - p.open * 0.05)} M6 -48 V-${f(30 - p.open * 0.05)}"/>` +
    `<path class="fold" d="M-24 ${f(62 + j)} Q0 ${f(56 + j)} 24 ${f(62 + j)}"/></g>` +
    mouth(p, id)
  );
}
