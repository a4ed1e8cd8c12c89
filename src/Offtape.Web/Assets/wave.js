// A waveform from the whole file down to its samples, several over each other on one axis of time, with what stands on the same axis below.
// Drawn from peaks that the server keeps in levels; where those end, from the samples themselves.

const tileBins = 2048;
const tileFrames = 16384;
const mostBytes = 96 << 20;
const mostLanes = 8;
const minus = '\u2212';
const thin = '\u2009';

// Peaks of one file ------------------------------------------------------------------------------------------------------------------

export class Peaks {
    constructor(url, changed) {
        this.url = url;
        this.changed = changed;
        this.facts = null;
        this.trouble = '';
        this.tiles = new Map();
        this.bytes = 0;
        this.open();
    }

    async open() {
        try {
            for (;;) {
                const answer = await fetch(this.url);
                if (!answer.ok) throw new Error(await answer.text());
                const facts = await answer.json();
                if (this.facts && facts.state !== this.facts.state) throw new Error('This file has changed. Load the page again.');
                const isNews = facts.knownFrames !== this.facts?.knownFrames;
                this.facts = facts;
                if (isNews) {
                    for (const [key, tile] of this.tiles) if (tile.isPart) this.drop(key);
                    this.changed();
                }
                if (facts.knownFrames === facts.frameCount || this.isOver) return;
                await new Promise(next => setTimeout(next, 120));
            }
        } catch (error) {
            this.fail(error);
        }
    }

    close() { this.isOver = true; this.tiles.clear(); }

    fail(error) {
        this.trouble = error instanceof TypeError ? 'Offtape does not answer.' : error.message.trim();
        this.changed();
    }

    get seconds() { return this.facts ? this.facts.frameCount / this.facts.sampleRateHz : 0; }

    drop(key) {
        this.bytes -= this.tiles.get(key)?.data?.byteLength ?? 0;
        this.tiles.delete(key);
    }

    // level −1: the samples themselves.
    tile(level, index) {
        const key = `${level}/${index}`;
        const known = this.tiles.get(key);
        if (known) {
            // Used last, let go last.
            this.tiles.delete(key);
            this.tiles.set(key, known);
            return known.data;
        }
        const tile = { data: null, isPart: false };
        this.tiles.set(key, tile);
        this.load(level, index, key, tile);
        return null;
    }

    has(level, index) { return this.tiles.get(`${level}/${index}`)?.data ?? null; }

    async load(level, index, key, tile) {
        const size = level < 0 ? tileFrames : tileBins;
        const place = level < 0 ? 'frames' : `peaks/${level}`;
        try {
            const answer = await fetch(`${this.url}/${place}?from=${index * size}&count=${size}&state=${this.facts.state}`);
            if (!answer.ok) throw new Error(await answer.text());
            tile.data = new Float32Array(await answer.arrayBuffer());
        } catch (error) {
            this.tiles.delete(key);
            this.fail(error);
            return;
        }
        const width = this.facts.channelCount * (level < 0 ? 1 : 2);
        const all = level < 0 ? this.facts.frameCount : Math.ceil(this.facts.frameCount / this.facts.binFrames[level]);
        tile.isPart = tile.data.length < width * Math.min(size, all - index * size);
        this.bytes += tile.data.byteLength;
        for (const old of this.tiles.keys()) {
            if (this.bytes <= mostBytes) break;
            if (this.tiles.get(old).data && !old.startsWith(`${this.facts.binFrames.length - 1}/`)) this.drop(old);
        }
        this.changed();
    }

    // The finest level with at most one bin a pixel; −1: samples.
    levelFor(framesPerPixel) {
        let level = -1;
        while (level + 1 < this.facts.binFrames.length && this.facts.binFrames[level + 1] <= framesPerPixel) level++;
        return level;
    }

    // Least and greatest sample of each pixel of one channel; NaN where nothing is. True: as fine as can be.
    columns(fromFrame, framesPerPixel, channel, low, high) {
        const best = this.levelFor(framesPerPixel);
        let isSharp = true;
        low.fill(NaN);
        high.fill(NaN);
        for (let x = 0; x < low.length; x++) {
            const from = Math.max(0, Math.floor(fromFrame + x * framesPerPixel));
            const to = Math.min(this.facts.frameCount, Math.max(from + 1, Math.floor(fromFrame + (x + 1) * framesPerPixel)));
            if (from >= to) continue;
            let level = best;
            while (!this.range(level, from, to, channel, low, high, x)) {
                isSharp = false;
                if (++level >= this.facts.binFrames.length) break;
            }
        }
        return isSharp;
    }

    range(level, from, to, channel, low, high, x) {
        const bin = level < 0 ? 1 : this.facts.binFrames[level];
        const size = level < 0 ? tileFrames : tileBins;
        const [first, last] = [Math.floor(from / bin), Math.ceil(to / bin)];
        let [least, greatest] = [Infinity, -Infinity];
        for (let at = first; at < last;) {
            const index = Math.floor(at / size);
            const data = this.tile(level, index);
            if (!data) return false;
            const end = Math.min(last, (index + 1) * size);
            if (level < 0) {
                const width = this.facts.channelCount;
                for (let i = (at - index * size) * width + channel; at < end; at++, i += width) {
                    if (data[i] < least) least = data[i];
                    if (data[i] > greatest) greatest = data[i];
                }
            } else {
                const width = 2 * this.facts.channelCount;
                for (let i = (at - index * size) * width + 2 * channel; at < end; at++, i += width) {
                    if (data[i] < least) least = data[i];
                    if (data[i + 1] > greatest) greatest = data[i + 1];
                }
            }
        }
        if (least > greatest) return true;
        low[x] = least;
        high[x] = greatest;
        return true;
    }

    sample(frame, channel) {
        if (frame < 0 || frame >= this.facts.frameCount) return undefined;
        const index = Math.floor(frame / tileFrames);
        const data = this.tile(-1, index);
        return data ? data[(frame - index * tileFrames) * this.facts.channelCount + channel] : null;
    }

    // The greatest sample of the whole file, as far as it is known.
    get peak() {
        if (!this.facts) return 0;
        const level = this.facts.binFrames.length - 1;
        const bins = Math.ceil(this.facts.frameCount / this.facts.binFrames[level]);
        let peak = 0;
        for (let i = 0; i * tileBins < bins; i++)
            for (const value of this.tile(level, i) ?? []) peak = Math.max(peak, Math.abs(value));
        return peak;
    }
}

// Words ------------------------------------------------------------------------------------------------------------------------------

const grouped = digits => digits.length > 4 ? digits.replace(/(\d{3})(?=\d)/g, `$1${thin}`) : digits;
export function clock(seconds, decimals) {
    const rounded = Math.round(Math.abs(seconds) * 10 ** decimals) / 10 ** decimals;
    const [minutes, rest] = [Math.floor(rounded / 60), (rounded % 60).toFixed(decimals)];
    const [whole, part] = rest.split('.');
    const sign = seconds < 0 && rounded > 0 ? minus : '';
    const head = minutes >= 60 ? `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}` : minutes;
    return `${sign}${head}:${whole.padStart(2, '0')}${part ? '.' + grouped(part) : ''}`;
}
const number = (value, decimals) => {
    const text = value.toFixed(decimals);
    return Number(text) < 0 ? text.replace('-', minus) : text.replace('-', '');
};

// The view ---------------------------------------------------------------------------------------------------------------------------

export class WaveView {
    // layers: { name, url, ink }; marks: { from, to, words }; map: url; host: an empty element of its own.
    constructor(host, { layers, marks = [], spans = [], map = null, label, seconds }) {
        this.host = host;
        this.marks = marks;
        this.spans = spans;
        this.label = label;
        this.saidSeconds = seconds ?? 0;
        this.view = null;
        this.tall = 1;
        this.place = 0;
        this.selection = null;
        this.fingers = new Map();
        this.map = null;
        this.onPlace = () => {};
        this.onSelect = () => {};
        this.build();
        const changed = () => this.wake();
        this.layers = layers.map(l => ({ ...l, scale: 1, peaks: new Peaks(l.url, changed) }));
        if (map) this.loadMap(map);
        this.resize = new ResizeObserver(() => { this.measure(); this.wake(); });
        this.resize.observe(this.box);
        this.scheme = matchMedia('(prefers-color-scheme: dark)');
        this.recolour = () => { this.inks = null; this.wake(); };
        this.scheme.addEventListener('change', this.recolour);
        this.measure();
        this.wake();
    }

    close() {
        this.isOver = true;
        this.resize.disconnect();
        this.scheme.removeEventListener('change', this.recolour);
        this.layers.forEach(l => l.peaks.close());
        this.host.replaceChildren();
    }

    build() {
        const make = (name, kind, parent) => {
            const element = document.createElement(name);
            element.className = kind;
            parent.append(element);
            return element;
        };
        this.host.replaceChildren();
        this.box = make('div', 'wave-box', this.host);
        this.box.tabIndex = 0;
        this.box.setAttribute('role', 'slider');
        this.box.setAttribute('aria-label', this.label);
        this.box.setAttribute('aria-valuemin', '0');
        this.box.setAttribute('aria-valuemax', this.saidSeconds.toFixed(3));
        this.box.setAttribute('aria-valuenow', '0');
        this.box.setAttribute('aria-valuetext', clock(0, 3));
        this.under = make('canvas', 'under', this.box);
        this.front = make('canvas', 'front', this.box);
        this.cross = make('div', 'cross-line', this.box);
        this.cross.hidden = true;
        this.head = make('div', 'play-line', this.box);
        this.reading = make('p', 'wave-reading n', this.host);
        this.reading.setAttribute('aria-hidden', 'true');
        this.listen();
    }

    async loadMap(url) {
        try {
            const answer = await fetch(url);
            if (!answer.ok || this.isOver) return;
            this.map = await answer.json();
            this.wake();
        } catch { /* the waveforms say that the server is away */ }
    }

    get seconds() { return Math.max(this.saidSeconds, ...this.layers.map(l => l.peaks.seconds), 1e-3); }

    get finest() {
        const rate = Math.max(...this.layers.map(l => l.peaks.facts?.sampleRateHz ?? 0), 8000);
        return 1 / (32 * rate);
    }

    measure() {
        const box = this.box.getBoundingClientRect();
        this.width = Math.max(1, Math.floor(box.width));
        this.height = Math.max(1, Math.floor(box.height));
        const ratio = Math.min(3, devicePixelRatio || 1);
        for (const canvas of [this.under, this.front]) {
            canvas.width = this.width * ratio;
            canvas.height = this.height * ratio;
            canvas.getContext('2d').setTransform(ratio, 0, 0, ratio, 0, 0);
        }
    }

    // From where, and how many seconds a pixel is.
    get from() { return this.view?.from ?? 0; }

    get perPixel() { return this.view?.perPixel ?? this.seconds / this.width; }

    look(from, perPixel) {
        const whole = this.seconds / this.width;
        perPixel = Math.min(whole, Math.max(this.finest, perPixel));
        from = Math.min(Math.max(0, from), this.seconds - perPixel * this.width);
        this.view = perPixel >= whole ? null : { from, perPixel };
        this.wake();
    }

    zoom(factor, x = this.xOf(this.place)) {
        if (!(x >= 0 && x <= this.width)) x = this.width / 2;
        const at = this.from + x * this.perPixel;
        const perPixel = Math.min(this.seconds / this.width, Math.max(this.finest, this.perPixel * factor));
        this.look(at - x * perPixel, perPixel);
    }

    pan(pixels) { this.look(this.from + pixels * this.perPixel, this.perPixel); }

    whole() { this.view = null; this.wake(); }

    xOf(seconds) { return (seconds - this.from) / this.perPixel; }

    secondsAt(x) { return Math.min(this.seconds, Math.max(0, this.from + x * this.perPixel)); }

    // Follows what plays: turns the page when it leaves the window.
    setPlace(seconds, isFollowed) {
        this.place = seconds;
        const x = this.xOf(seconds);
        if (isFollowed && (x < 0 || x > this.width) && !this.drag) this.look(seconds - 0.05 * this.width * this.perPixel, this.perPixel);
        this.putHead();
        const now = performance.now();
        if (isFollowed && now - (this.toldAt ?? 0) < 500) return;
        this.toldAt = now;
        this.box.setAttribute('aria-valuemax', this.seconds.toFixed(3));
        this.box.setAttribute('aria-valuenow', seconds.toFixed(3));
        this.box.setAttribute('aria-valuetext', clock(seconds, 3));
    }

    putHead() {
        const x = this.xOf(this.place);
        this.head.hidden = x < -1 || x > this.width + 1;
        this.head.style.transform = `translateX(${x}px)`;
    }

    select(range) { this.selection = range; this.wake(); }

    wake() {
        if (this.isAwake || this.isOver) return;
        this.isAwake = true;
        requestAnimationFrame(() => { this.isAwake = false; if (!this.isOver) this.draw(); });
    }

    colours() {
        if (this.inks) return this.inks;
        const style = getComputedStyle(document.documentElement);
        const ink = name => style.getPropertyValue(`--${name}`).trim();
        this.inks = Object.fromEntries(['ink', 'soft', 'rule', 'accent', 'wash', 'sheet', 'warn', 'bad', 'figures', 'words'].map(n => [n, ink(n)]));
        return this.inks;
    }

    get lanes() { return Math.min(mostLanes, Math.max(1, ...this.layers.map(l => l.peaks.facts?.channelCount ?? 1))); }

    get mapHeight() { return this.map ? Math.round(this.height * 0.26) : 0; }

    draw() {
        const inks = this.colours();
        const [under, front] = [this.under.getContext('2d'), this.front.getContext('2d')];
        for (const c of [under, front]) c.clearRect(0, 0, this.width, this.height);
        const axis = 24;
        const bottom = this.height - axis;
        const waves = bottom - this.mapHeight;
        this.frame = { bottom, waves };
        under.fillStyle = inks.wash;
        for (const mark of this.marks) this.span(under, mark, 0, bottom, 2);
        if (this.selection) {
            this.span(under, this.selection, 0, bottom, 1);
            under.fillStyle = inks.accent;
            for (const edge of [this.selection.from, this.selection.to]) under.fillRect(Math.round(this.xOf(edge)) - 0.5, 0, 1, bottom);
        }
        this.drawAxis(under, inks, bottom);
        let isSharp = true;
        const peak = Math.max(...this.layers.map(l => l.peaks.peak * l.scale));
        this.full = peak > 0 ? peak / 0.94 / this.tall : 1;
        const lane = waves / this.lanes;
        for (let c = 0; c < this.lanes; c++) {
            under.fillStyle = inks.rule;
            under.fillRect(0, Math.round(c * lane + lane / 2), this.width, 1);
            if (c > 0) under.fillRect(0, Math.round(c * lane), this.width, 1);
            for (const layer of this.layers) isSharp = this.drawLayer(front, layer, c, c * lane, lane, inks) && isSharp;
        }
        front.fillStyle = inks.warn;
        for (const mark of this.marks) this.drawMark(front, mark, waves);
        this.drawWords(front, inks, lane);
        if (this.map) this.drawMap(under, front, inks, waves, this.mapHeight);
        this.drawSpans(under, front, inks, waves);
        this.putHead();
        this.read();
        const isOpen = this.layers.every(({ peaks: { facts } }) => facts && facts.knownFrames === facts.frameCount);
        this.host.dispatchEvent(new CustomEvent('wave-drawn', { bubbles: true, detail: { isSharp: isSharp && isOpen, isOpen } }));
        this.host.dataset.drawn = isSharp && isOpen ? 'sharp' : 'coming';
    }

    span(c, { from, to }, top, bottom, least) {
        const [a, b] = [Math.max(0, this.xOf(from)), Math.min(this.width, this.xOf(to))];
        if (b >= a) c.fillRect(a, top, Math.max(least, b - a), bottom - top);
    }

    // However short a dropout is, from far off it is seen: a wedge at the foot of the waveforms.
    drawMark(c, mark, bottom) {
        const x = this.xOf(mark.from + (mark.to - mark.from) / 2);
        if (x < 0 || x > this.width) return;
        c.beginPath();
        c.moveTo(x, bottom - 9);
        c.lineTo(x - 5, bottom);
        c.lineTo(x + 5, bottom);
        c.fill();
    }

    drawLayer(c, layer, channel, top, height, inks) {
        const { peaks } = layer;
        if (!peaks.facts) return true;
        channel = Math.min(channel, peaks.facts.channelCount - 1);
        const rate = peaks.facts.sampleRateHz;
        const framesPerPixel = this.perPixel * rate;
        const middle = top + height / 2;
        const y = value => Math.max(top, Math.min(top + height, middle - value * layer.scale / this.full * height / 2));
        c.fillStyle = c.strokeStyle = inks[layer.ink];
        c.lineWidth = 1.25;
        if (framesPerPixel < 1) return this.drawSamples(c, peaks, channel, rate, y);
        if (this.low?.length !== this.width) [this.low, this.high] = [new Float32Array(this.width), new Float32Array(this.width)];
        const isSharp = peaks.columns(this.from * rate, framesPerPixel, channel, this.low, this.high);
        const isLine = layer.isLine;
        c.beginPath();
        for (let x = 0; x < this.width; x++) {
            if (Number.isNaN(this.low[x])) continue;
            const [a, b] = [y(this.high[x]), y(this.low[x])];
            if (isLine) {
                c.rect(x, a - 0.5, 1, 1);
                c.rect(x, b - 0.5, 1, 1);
            } else c.rect(x, a - 0.3, 1, Math.max(0.6, b - a + 0.6));
        }
        c.fill();
        return isSharp;
    }

    drawSamples(c, peaks, channel, rate, y) {
        const [first, last] = [Math.floor(this.from * rate) - 1, Math.ceil((this.from + this.width * this.perPixel) * rate) + 1];
        const withDots = 1 / (this.perPixel * rate) >= 6;
        let isSharp = true;
        let isDown = false;
        const dots = [];
        c.beginPath();
        for (let frame = first; frame <= last; frame++) {
            const value = peaks.sample(frame, channel);
            if (value === null) isSharp = false;
            if (value === undefined || value === null) { isDown = false; continue; }
            const [x, at] = [this.xOf(frame / rate), y(value)];
            if (isDown) c.lineTo(x, at); else c.moveTo(x, at);
            isDown = true;
            if (withDots) dots.push([x, at]);
        }
        c.stroke();
        for (const [x, at] of dots) { c.beginPath(); c.arc(x, at, 2.5, 0, 7); c.fill(); }
        return isSharp;
    }

    drawWords(c, inks, lane) {
        c.font = `13px ${inks.words}`;
        c.textBaseline = 'top';
        const trouble = this.layers.map(l => l.peaks.trouble && `${l.name}: ${l.peaks.trouble}`).filter(Boolean);
        const waits = this.layers.filter(l => !l.peaks.trouble && !(l.peaks.facts?.knownFrames === l.peaks.facts?.frameCount && l.peaks.facts));
        let x = 8;
        const put = (text, ink) => {
            c.fillStyle = inks.sheet;
            c.fillRect(x - 4, 4, c.measureText(text).width + 8, 20);
            c.fillStyle = inks[ink];
            c.fillText(text, x, 7);
            x += c.measureText(text).width + 16;
        };
        for (const layer of this.layers) {
            const hasLine = this.layers.some(l => l.isLine && l.name === layer.name);
            if (this.layers.length > 1 && (layer.isLine || !hasLine)) put(layer.isLine ? `${layer.name}, outline` : layer.name, layer.ink);
        }
        if (trouble.length) put(trouble.join(' '), 'bad');
        else if (waits.length) {
            const [known, all] = waits.reduce(([k, a], l) => [k + (l.peaks.facts?.knownFrames ?? 0), a + (l.peaks.facts?.frameCount ?? 1)], [0, 0]);
            put(`reading, ${Math.floor(100 * known / all)}${thin}%`, 'soft');
        }
        if (this.lanes > 1) {
            c.fillStyle = inks.soft;
            for (let i = 0; i < this.lanes; i++) c.fillText(`${i + 1}`, this.width - 16, i * lane + 7);
        }
    }

    drawAxis(c, inks, bottom) {
        const across = this.perPixel * this.width;
        const room = this.perPixel < 1e-5 ? 132 : this.perPixel < 1e-2 ? 100 : 76;
        const least = across * room / this.width;
        let step = 10 ** Math.floor(Math.log10(least));
        step = [1, 2, 5, 10].map(f => f * step).find(s => s >= least);
        if (step > 5) step = [10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200].find(s => s >= least) ?? step;
        const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
        c.fillStyle = inks.rule;
        c.fillRect(0, bottom, this.width, 1);
        c.font = `13px ${inks.figures}`;
        c.textBaseline = 'top';
        for (let i = Math.ceil(this.from / step); i * step <= this.from + across; i++) {
            const x = Math.round(this.xOf(i * step));
            c.fillStyle = inks.rule;
            c.fillRect(x, 0, 1, bottom + 5);
            c.fillStyle = inks.soft;
            const text = clock(i * step, Math.min(9, decimals));
            if (x + 4 + c.measureText(text).width < this.width) c.fillText(text, x + 4, bottom + 7);
        }
    }

    drawMap(under, front, inks, top, height) {
        const { sourceSeconds: s, lateMilliseconds: late, sigmaMilliseconds: sigma } = this.map;
        if (s.length < 2) return;
        this.reach ??= Math.max(1, 1.25 * late.reduce((most, v) => Math.max(most, Math.abs(v)), 0));
        const y = value => Math.max(top + 1, Math.min(top + height - 1, top + height / 2 - value / this.reach * height / 2));
        under.fillStyle = inks.rule;
        under.fillRect(0, top, this.width, 1);
        under.fillRect(0, Math.round(top + height / 2), this.width, 1);
        const to = this.from + this.width * this.perPixel;
        let first = 0;
        let last = s.length - 1;
        while (first + 1 < s.length && s[first + 1] < this.from) first++;
        while (last > 0 && s[last - 1] > to) last--;
        // A few points a pixel are enough: the map bends over tens of milliseconds.
        const stride = Math.max(1, Math.floor((last - first) / (2 * this.width)));
        under.fillStyle = inks.wash;
        under.beginPath();
        for (let i = first; i <= last; i += stride) under.lineTo(this.xOf(s[i]), y(late[i] + 2 * sigma[i]));
        for (let i = first + Math.floor((last - first) / stride) * stride; i >= first; i -= stride) under.lineTo(this.xOf(s[i]), y(late[i] - 2 * sigma[i]));
        under.fill();
        // The words stand where the curve is not, and beneath it all the same: it is never hidden.
        under.font = `13px ${inks.words}`;
        const words = this.width > 640 ? 'how late the tape is, ms: the band holds the truth 19 times in 20' : 'late, ms, with its band';
        const [end, middle] = [8 + under.measureText(words).width, top + height / 2];
        let high = 0;
        for (let i = first; i <= last && this.xOf(s[i]) < end; i += stride) high += Math.sign(middle - y(late[i]));
        under.fillStyle = inks.soft;
        under.textBaseline = high > 0 ? 'bottom' : 'top';
        under.fillText(words, 8, high > 0 ? top + height - 4 : top + 6);
        under.textAlign = 'right';
        under.font = `13px ${inks.figures}`;
        under.textBaseline = 'top';
        under.fillText(`+${number(this.reach, 1)}`, this.width - 4, top + 6);
        under.textBaseline = 'bottom';
        under.fillText(`${minus}${number(this.reach, 1)}`, this.width - 4, top + height - 4);
        under.textAlign = 'left';
        front.strokeStyle = inks.accent;
        front.lineWidth = 1.5;
        front.beginPath();
        for (let i = first; i <= last; i += stride) front.lineTo(this.xOf(s[i]), y(late[i]));
        front.stroke();
    }

    // Where each sound was found in a recording.
    drawSpans(under, front, inks, waves) {
        front.font = `13px ${inks.words}`;
        front.textBaseline = 'bottom';
        for (const span of this.spans) {
            const [a, b] = [Math.max(0, this.xOf(span.from)), Math.min(this.width, this.xOf(span.to))];
            if (b < 0 || a > this.width) continue;
            front.fillStyle = inks.accent;
            front.fillRect(a, waves - 3, Math.max(2, b - a), 3);
            front.fillRect(a, waves - 12, 1, 12);
            if (b - a > front.measureText(span.name).width + 8) {
                front.fillStyle = inks.sheet;
                front.fillRect(a + 3, waves - 24, front.measureText(span.name).width + 6, 18);
                front.fillStyle = inks.accent;
                front.fillText(span.name, a + 6, waves - 6);
            }
        }
    }

    // The values under the pointer.
    read() {
        if (this.pointer === undefined) { this.cross.hidden = true; this.reading.textContent = ''; return; }
        const seconds = this.secondsAt(this.pointer);
        const decimals = Math.min(7, Math.max(3, Math.ceil(-Math.log10(this.perPixel))));
        const words = [clock(seconds, decimals)];
        for (const layer of this.layers) {
            if (!layer.peaks.facts || layer.isLine) continue;
            const rate = layer.peaks.facts.sampleRateHz;
            if (this.perPixel * rate < 1) {
                const value = layer.peaks.sample(Math.round(seconds * rate), 0);
                if (typeof value === 'number') words.push(`${layer.name} ${number(value * layer.scale, 5)}`);
            } else {
                const [low, high] = [new Float32Array(1), new Float32Array(1)];
                layer.peaks.columns(seconds * rate, this.perPixel * rate, 0, low, high);
                if (!Number.isNaN(low[0])) words.push(`${layer.name} ${number(low[0] * layer.scale, 3)} to ${number(high[0] * layer.scale, 3)}`);
            }
        }
        if (this.map?.sourceSeconds.length > 1) {
            const { sourceSeconds: s, captureSeconds: c, lateMilliseconds: late, sigmaMilliseconds: sigma } = this.map;
            const i = Math.min(s.length - 2, Math.max(0, Math.floor((seconds - s[0]) / (s[1] - s[0]))));
            const share = Math.min(1, Math.max(0, (seconds - s[i]) / (s[i + 1] - s[i])));
            const at = values => values[i] + share * (values[i + 1] - values[i]);
            words.push(`late ${number(at(late), 3)} \u00b1${number(2 * at(sigma), 3)}${thin}ms`, `in the recording ${clock(at(c), 6)}`);
        }
        const mark = this.marks.find(m => seconds >= m.from && seconds <= m.to);
        if (mark) words.push(mark.words);
        this.reading.textContent = words.join('   ');
        this.cross.hidden = false;
        this.cross.style.transform = `translateX(${this.pointer}px)`;
    }

    listen() {
        const x = event => event.clientX - this.box.getBoundingClientRect().left;
        const y = event => event.clientY - this.box.getBoundingClientRect().top;
        this.box.addEventListener('wheel', event => {
            if (event.ctrlKey || event.metaKey) return;
            const sideways = event.shiftKey ? event.deltaY || event.deltaX : event.deltaX;
            const line = event.deltaMode === 1 ? 16 : 1;
            if (Math.abs(sideways) > Math.abs(event.shiftKey ? 0 : event.deltaY)) {
                if (!this.view) return;
                event.preventDefault();
                this.pan(sideways * line);
            } else {
                // Seen whole already: the page scrolls on.
                if (!this.view && event.deltaY > 0) return;
                event.preventDefault();
                this.zoom(Math.exp(event.deltaY * line / 400), x(event));
            }
        }, { passive: false });
        this.box.addEventListener('pointerdown', event => {
            if (event.button !== 0) return;
            this.box.focus({ preventScroll: true });
            if (event.pointerType === 'touch') this.fingers.set(event.pointerId, x(event));
            this.box.setPointerCapture(event.pointerId);
            if (this.fingers.size > 1) { this.beginPinch(); return; }
            const isAxis = y(event) > this.frame?.bottom;
            this.drag = { kind: isAxis ? 'pan' : 'select', x: x(event), from: this.from, at: this.secondsAt(x(event)), before: this.selection };
        });
        this.box.addEventListener('pointermove', event => {
            this.pointer = x(event);
            if (this.fingers.has(event.pointerId)) this.fingers.set(event.pointerId, x(event));
            if (this.drag?.kind === 'pinch') this.pinch();
            else if (this.drag?.kind === 'pan') this.look(this.drag.from - (x(event) - this.drag.x) * this.perPixel, this.perPixel);
            else if (this.drag && Math.abs(x(event) - this.drag.x) > 4) {
                const to = this.secondsAt(x(event));
                this.selection = { from: Math.min(this.drag.at, to), to: Math.max(this.drag.at, to) };
                this.wake();
            }
            this.read();
        });
        const end = event => {
            this.fingers.delete(event.pointerId);
            if (!this.drag) return;
            const drag = this.drag;
            // A finger that stays after a pinch moves nothing: the hand is being taken away.
            if (drag.kind === 'pinch' && this.fingers.size > 0) return;
            this.drag = null;
            if (event.type === 'pointercancel' || drag.kind !== 'select') return;
            if (Math.abs(x(event) - drag.x) > 4) this.onSelect(this.selection);
            else this.onPlace(drag.at);
        };
        this.box.addEventListener('pointerup', end);
        this.box.addEventListener('pointercancel', end);
        this.box.addEventListener('pointerleave', () => { this.pointer = undefined; this.read(); });
    }

    // Two fingers take hold of two moments, and both moments stay under them.
    beginPinch() {
        if (this.drag?.kind === 'select') this.selection = this.drag.before;
        const [a, b] = this.fingers.values();
        this.drag = { kind: 'pinch', moments: [this.secondsAt(a), this.secondsAt(b)] };
        this.wake();
    }

    pinch() {
        if (this.fingers.size < 2) return;
        const [a, b] = this.fingers.values();
        const [from, to] = this.drag.moments;
        // Fingers that meet or cross hold nothing.
        if (Math.abs(b - a) < 8 || (b - a) * (to - from) <= 0) return;
        const perPixel = Math.min(this.seconds / this.width, Math.max(this.finest, (to - from) / (b - a)));
        this.look((from + to) / 2 - (a + b) / 2 * perPixel, perPixel);
    }
}
