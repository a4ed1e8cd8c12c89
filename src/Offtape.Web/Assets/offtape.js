// What a page of the server's cannot do by itself: bring files in, read plots under the pointer, keys, and wait for a server that is away.

const form = () => document.querySelector('meta[name="offtape-form"]').content;
const coming = new Map();

// Files -----------------------------------------------------------------------------------------------------------------------------

async function bringIn(drop, files) {
    const said = drop.querySelector('[data-said]');
    said.textContent = '';
    const list = [...files];
    if (list.length === 0) return;
    let answer;
    try {
        answer = await fetch('/uploads', {
            method: 'POST',
            headers: { 'Content-Type': 'application/json', 'X-Offtape-Form': form() },
            body: JSON.stringify({ pass: drop.dataset.pass, place: drop.dataset.place, files: list.map(f => ({ name: f.name, size: f.size })) }),
        });
    } catch {
        said.textContent = 'Offtape does not answer. Start it again, then drop the files again.';
        return;
    }
    if (!answer.ok) {
        said.textContent = await answer.text();
        return;
    }
    const { ids, go } = await answer.json();
    if (location.pathname !== go) Blazor.navigateTo(go);
    for (let i = 0; i < list.length; i++)
        if (ids[i]) await send(ids[i], list[i]);
}

function send(id, file) {
    return new Promise(done => {
        const request = new XMLHttpRequest();
        coming.set(id, request);
        request.open('PUT', `/uploads/${id}`);
        request.setRequestHeader('X-Offtape-Form', form());
        request.setRequestHeader('Content-Type', 'application/octet-stream');
        request.onloadend = () => { coming.delete(id); done(); };
        request.send(file);
    });
}

// A field for files that the page itself reads takes what is dropped on it by itself.
const takesFiles = event => event.target instanceof HTMLInputElement && event.target.type === 'file' && !event.target.disabled && !dropOf(event);
const dropOf = event => event.target instanceof Element ? event.target.closest('[data-drop]') : null;

document.addEventListener('dragover', event => {
    if (![...(event.dataTransfer?.types ?? [])].includes('Files')) return;
    if (takesFiles(event)) return;
    // A file that misses its place must not open instead of the page.
    event.preventDefault();
    const drop = dropOf(event);
    event.dataTransfer.dropEffect = drop ? 'copy' : 'none';
    document.querySelectorAll('.drop.over').forEach(d => d.classList.toggle('over', d === drop));
    drop?.classList.add('over');
});
document.addEventListener('dragleave', event => {
    const drop = dropOf(event);
    if (drop && !drop.contains(event.relatedTarget)) drop.classList.remove('over');
});
document.addEventListener('drop', event => {
    if (!event.dataTransfer?.files.length || takesFiles(event)) return;
    event.preventDefault();
    const drop = dropOf(event);
    if (!drop) return;
    drop.classList.remove('over');
    bringIn(drop, event.dataTransfer.files);
});
document.addEventListener('change', event => {
    const drop = event.target.type === 'file' ? dropOf(event) : null;
    if (!drop) return;
    bringIn(drop, event.target.files).finally(() => { event.target.value = ''; });
});
window.addEventListener('beforeunload', event => { if (coming.size > 0) event.preventDefault(); });

// Keys and clicks -------------------------------------------------------------------------------------------------------------------

const keys = () => document.getElementById('keys');
const lettersAreKeys = () => { try { return localStorage.getItem('offtape-letters') !== 'off'; } catch { return true; } };

function showKeys() {
    const letters = document.getElementById('letters');
    letters.checked = lettersAreKeys();
    letters.onchange = () => { try { localStorage.setItem('offtape-letters', letters.checked ? 'on' : 'off'); } catch { /* forgotten at the next start */ } };
    keys().showModal();
}

document.addEventListener('click', event => {
    if (!(event.target instanceof Element)) return;
    if (event.target.closest('[data-keys]')) showKeys();
    const stop = event.target.closest('[data-stop-upload]');
    if (stop) coming.get(stop.dataset.stopUpload)?.abort();
    const skip = event.target.closest('[data-skip]');
    if (skip) { event.preventDefault(); document.getElementById('page').focus(); }
});

document.addEventListener('keydown', event => {
    if (event.ctrlKey || event.metaKey || event.altKey || keys().open) return;
    const field = event.target.closest?.('input:not([type="radio"]):not([type="checkbox"]), select, textarea');
    if (field) return;
    if (event.key === '?' && lettersAreKeys()) { event.preventDefault(); showKeys(); return; }
    const inTable = event.target.closest?.('table.takes, section.take');
    const picks = [...document.querySelectorAll('table.takes button.pick')];
    const at = picks.findIndex(p => p.getAttribute('aria-pressed') === 'true');
    if ((event.key === 'ArrowDown' || event.key === 'ArrowUp') && event.target.closest?.('table.takes button.pick')) {
        event.preventDefault();
        const to = picks[Math.min(picks.length - 1, Math.max(0, picks.indexOf(event.target) + (event.key === 'ArrowDown' ? 1 : -1)))];
        to.focus();
        to.click();
        return;
    }
    if (!inTable || !lettersAreKeys()) return;
    const mark = { k: 'keep', a: 'again' }[event.key];
    if (mark && at >= 0) document.querySelector(`input[data-mark="${mark}"][data-row="${at}"]`)?.click();
    if (/^[1-4]$/.test(event.key)) document.querySelector(`input[data-key="${event.key}"]`)?.click();
});

// Plots: the value under the pointer ------------------------------------------------------------------------------------------------

const minus = text => text.replace('-', '\u2212');
const number = value => {
    const size = Math.abs(value);
    return minus(value.toFixed(size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3));
};
function valueAt([low, high, scale], share) {
    return scale === 'log' ? low * (high / low) ** share : low + (high - low) * share;
}
function clock(seconds) {
    const whole = Math.abs(seconds);
    return `${seconds < 0 ? '\u2212' : ''}${Math.floor(whole / 60)}:${(whole % 60).toFixed(3).padStart(6, '0')}`;
}

// The points of a path, read once for each drawing.
const pointsOf = (() => {
    const known = new WeakMap();
    return path => {
        if (!known.has(path)) known.set(path, (path.getAttribute('d').match(/-?[\d.]+ -?[\d.]+/g) ?? []).map(p => p.split(' ').map(Number)));
        return known.get(path);
    };
})();

function heights(points, x) {
    const found = [];
    for (let i = 1; i < points.length; i++) {
        const [[x0, y0], [x1, y1]] = [points[i - 1], points[i]];
        if ((x0 <= x && x < x1) || (x1 <= x && x < x0)) found.push(y0 + (y1 - y0) * (x - x0) / (x1 - x0));
    }
    return found;
}

document.addEventListener('pointermove', event => {
    const svg = event.target instanceof Element ? event.target.closest('[data-plot] svg.plot') : null;
    document.querySelectorAll('[data-plot] .cross').forEach(c => { if (c.ownerSVGElement !== svg) clear(c); });
    if (!svg) return;
    const frame = svg.querySelector('.frame').dataset;
    const [left, top, width, height] = [frame.left, frame.top, frame.width, frame.height].map(Number);
    const box = svg.getBoundingClientRect();
    const x = (event.clientX - box.left) * svg.viewBox.baseVal.width / box.width;
    const reading = svg.closest('[data-plot]').querySelector('[data-reading]');
    let cross = svg.querySelector('.cross');
    if (x < left || x > left + width) { if (cross) clear(cross); return; }
    if (!cross) {
        cross = document.createElementNS('http://www.w3.org/2000/svg', 'line');
        cross.setAttribute('class', 'cross');
        svg.append(cross);
    }
    cross.setAttribute('x1', x);
    cross.setAttribute('x2', x);
    cross.setAttribute('y1', top);
    cross.setAttribute('y2', top + height);
    const [xs, ys] = [[Number(frame.xMin), Number(frame.xMax), frame.xScale], [Number(frame.yMin), Number(frame.yMax), frame.yScale]];
    const at = valueAt(xs, (x - left) / width);
    const y = pixel => valueAt(ys, (top + height - pixel) / height);
    const words = [svg.closest('[data-plot]').dataset.xUnit === 'min:s' ? clock(at) : number(at)];
    for (const series of svg.querySelectorAll('.series')) {
        const found = [...series.querySelectorAll('path')].flatMap(p => heights(pointsOf(p), x)).map(y);
        if (found.length === 0) continue;
        const [low, high] = [Math.min(...found), Math.max(...found)];
        const label = series.dataset.label;
        words.push(`${label ? label + ' ' : ''}${found.length === 1 ? number(low) : `${number(low)} to ${number(high)}`}`);
    }
    const unit = svg.closest('[data-plot]').dataset.unit;
    reading.textContent = words.join('   ') + (unit && words.length > 1 ? `\u2009${unit}` : '');
});
function clear(cross) {
    const reading = cross.closest('[data-plot]')?.querySelector('[data-reading]');
    if (reading) reading.textContent = '';
    cross.remove();
}

// The line of screens: where it is wider than the window, each end says whether there is more ------------------------------------------

customElements.define('screen-line', class extends HTMLElement {
    connectedCallback() {
        // What is in it comes later, and changes with each screen.
        const line = () => this.querySelector('nav');
        const tell = () => {
            const nav = line();
            this.toggleAttribute('data-before', nav?.scrollLeft > 1);
            this.toggleAttribute('data-after', nav?.scrollLeft + nav?.clientWidth < nav?.scrollWidth - 1);
        };
        const show = () => {
            line()?.querySelector('.active, [aria-current]')?.scrollIntoView({ inline: 'nearest', block: 'nearest', behavior: 'instant' });
            tell();
        };
        this.addEventListener('scroll', tell, { capture: true, passive: true });
        this.size = new ResizeObserver(show);
        this.size.observe(this);
        this.change = new MutationObserver(show);
        this.change.observe(this, { subtree: true, childList: true, attributeFilter: ['class', 'aria-current'] });
    }

    disconnectedCallback() {
        this.size.disconnect();
        this.change.disconnect();
    }
});

// A server that is away -------------------------------------------------------------------------------------------------------------

const gone = document.getElementById('gone');
let isWaiting = false;
function say(words) {
    gone.textContent = words;
    gone.hidden = false;
}
async function waitForServer() {
    if (isWaiting) return;
    isWaiting = true;
    say('Offtape does not answer. This page waits for it; your files are safe. If you ended it, start it again: offtape open.');
    for (;;) {
        await new Promise(next => setTimeout(next, 700));
        let answer;
        try {
            answer = await fetch('/alive', { cache: 'no-store' });
        } catch {
            continue;
        }
        if (answer.status === 401) {
            say('Offtape was started anew and does not know this window. Use the window that it opened.');
            continue;
        }
        if (!answer.ok) continue;
        try {
            // A server that is busy with its start may leave this without an answer.
            const late = new Promise(next => setTimeout(next, 5000, false));
            if (await Promise.race([Blazor.reconnect(), late])) { gone.hidden = true; isWaiting = false; return; }
        } catch { /* the new server does not know the old page: it is loaded again */ }
        location.reload();
        return;
    }
}

await Blazor.start({
    circuit: {
        reconnectionHandler: {
            onConnectionDown: () => { waitForServer(); },
            onConnectionUp: () => { gone.hidden = true; isWaiting = false; },
        },
    },
});
document.documentElement.dataset.ready = 'yes';
