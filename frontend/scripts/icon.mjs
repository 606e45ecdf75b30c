// The icon's drawing: a small barrel seen on its head, water standing at two thirds of the height, under one lamp.
const f = (n) => Number(n.toFixed(2));

/** Widths of twelve uneven staves, degrees, the bung stave first. */
const widths = [38, 27, 33, 29, 26, 34, 28, 31, 25, 33, 27, 29];

/**
 * Draws the icon in a 512 px square.
 * @param {{ radius: number, corner: number }} options outer radius of the ring; corner radius of the ground
 */
export function iconSvg({ radius, corner }) {
  const c = 256;
  const outer = radius;
  const inner = radius * 0.8;
  const tones = ['#b58a58', '#be9462', '#ab8050'];
  const at = (deg, r) => {
    const a = ((deg - 90) * Math.PI) / 180;
    return `${f(c + r * Math.cos(a))} ${f(c + r * Math.sin(a))}`;
  };
  const level = c - inner * 0.26;
  const half = Math.sqrt(inner ** 2 - (level - c) ** 2);
  const halfOuter = Math.sqrt(outer ** 2 - (level - c) ** 2);
  let angle = -widths[0] / 2;
  const staves = [];
  const joints = [];
  widths.forEach((width, i) => {
    const end = angle + width;
    staves.push(
      `<path d="M${at(angle, outer)}A${outer} ${outer} 0 0 1 ${at(end, outer)}L${at(end, inner)}A${f(inner)} ${f(inner)} 0 0 0 ${at(angle, inner)}Z" fill="${tones[(i * 2 + (i > 6 ? 1 : 0)) % 3]}"/>`,
    );
    joints.push(`M${at(angle, inner)}L${at(angle, outer)}`);
    angle = end;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512" width="512" height="512">
<defs>
<radialGradient id="room" cx=".62" cy=".12" r=".95"><stop offset="0" stop-color="#3a3220"/><stop offset="1" stop-color="#101413"/></radialGradient>
<linearGradient id="spirit" x1="0" y1="0" x2="0" y2="1"><stop offset="0" stop-color="#e39a3c"/><stop offset="1" stop-color="#7e3a0f"/></linearGradient>
</defs>
<rect width="512" height="512" rx="${corner}" fill="url(#room)"/>
<circle cx="${c}" cy="${c}" r="${f(inner)}" fill="#0b0c0b"/>
<path d="M${f(c - half)} ${f(level)}A${f(inner)} ${f(inner)} 0 1 0 ${f(c + half)} ${f(level)}Z" fill="url(#spirit)"/>
<g stroke="#fff0cf" stroke-width="7" stroke-linecap="round" fill="none"><path opacity=".55" d="M${f(c - inner * 0.5)} ${f(level + 26)}h${f(inner * 0.34)}"/><path opacity=".35" d="M${f(c - inner * 0.42)} ${f(level + 50)}h${f(inner * 0.22)}"/></g>
${staves.join('')}
<path d="${joints.join('')}" stroke="#2a1e13" stroke-width="5"/>
<path d="M${f(c - halfOuter)} ${f(level)}A${outer} ${outer} 0 1 0 ${f(c + halfOuter)} ${f(level)}L${f(c + half)} ${f(level)}A${f(inner)} ${f(inner)} 0 1 1 ${f(c - half)} ${f(level)}Z" fill="#26140a" opacity=".42"/>
<circle cx="${c}" cy="${c}" r="${f(inner)}" fill="none" stroke="#070605" stroke-width="8"/>
<circle cx="${c}" cy="${c}" r="${outer}" fill="none" stroke="#2a1e13" stroke-width="4"/>
<path d="M${at(-78, outer)}A${outer} ${outer} 0 0 1 ${at(24, outer)}" fill="none" stroke="#ffdf9f" stroke-width="6" stroke-linecap="round" opacity=".9"/>
<path d="M${c - 24} ${f(c - outer - 14)}h48l-6 ${f(outer - inner + 10)}h-36z" fill="#8e6a42" stroke="#2a1e13" stroke-width="4" stroke-linejoin="round"/>
<path d="M${f(c - half)} ${f(level)}H${f(c + half)}" stroke="#ffd591" stroke-width="7"/>
</svg>
`;
}
