import { f } from "./numbers";

/** Four fingers and a palm; x, y is the finger tips, a the angle of the fingers. */
export function hand(x: number, y: number, a: number, curl: number, sleeve = 240): string {
  const fingers: [number, number, number][] = [
    [-16, 5, 46],
    [-5.5, 0, 52],
    [5.5, 1, 50],
    [16, 8, 42],
  ];
  let s = `<g class="fig-hand" transform="translate(${f(x)} ${f(y)}) rotate(${f(a)})">`;
  s += `<path class="cloth-deep" d="M-34 112 H36 L${f(36 + (sleeve - 112) * 0.06)} ${sleeve} H${f(-34 - (sleeve - 112) * 0.06)} Z"/><path class="shirt" d="M-27 100 H29 L33 116 H-31 Z"/><path class="hand-edge" d="M-23 44 C-26 70 -20 92 -14 104 H18 C24 90 26 66 23 44 Z"/><path class="skin" d="M-21 44 C-24 70 -18 92 -12 104 H16 C22 90 24 66 21 44 Z"/>`;
  for (const [fx, fy, len] of fingers)
    s += `<path class="finger-edge" d="M${fx} ${fy} q${curl} ${len * 0.5} 0 ${len}"/><path class="finger" d="M${fx} ${fy} q${curl} ${len * 0.5} 0 ${len}"/>`;
  s += `<path class="finger-edge" d="M-20 80 Q-40 66 -40 44"/><path class="finger" d="M-18 82 Q-40 66 -40 44"/>`;
  return s + "</g>";
}
