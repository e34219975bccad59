// SPDX-License-Identifier: BSL-1.0
// tapewright for JavaScript: one file over the C library, in Node and in a browser, nothing to install.
//
//   const tw = await from_wasm(bytes)                  // the module that capi/wasm/make_module writes
//   tw.two_wire_drop(2.5, 0.0210, 4)                   // 0.42 V, but for the last bit
//   tw.cut_length(4.63, 0.05)                          // {segments: 92, length_m: 4.6, dark_m: 0.03}, but for the last bits
//   tw.within(() => { ... tw.make('tw_run', {...}) })  // structures live until the end of the function
//
// The library is asked for its own functions and structures (tw_describe_...), so that nothing is declared twice. A
// refusal throws Refused, which tells the figure at fault, what came in and what is allowed. An engine is how the library
// is reached: its functions, and memory that both sides see, from `base` on.

const no_room = 4; // TW_NO_ROOM
const most_bytes = 256 * 1024 * 1024; // of a module's memory
const figure_bytes = { double: 8, int64_t: 8, int32_t: 4, uint32_t: 4, char: 1 };

// The structures in which the library describes itself; a pointer there fills eight bytes on any machine.
const facts = {
  tw_function_facts: { bytes: 32, arguments: ['int32_t', 4], name: ['text', 8], returns: ['text', 16], text: ['text', 24] },
  tw_argument_facts: {
    bytes: 48, field: ['int32_t', 4], type: ['text', 8], name: ['text', 16], text: ['text', 24], least: ['double', 32], most: ['double', 40],
  },
  tw_structure_facts: { bytes: 24, members: ['int32_t', 4], size: ['int32_t', 8], name: ['text', 16] },
  tw_member_facts: {
    bytes: 56, field: ['int32_t', 4], offset: ['int32_t', 8], size: ['int32_t', 12], count: ['int32_t', 16], text_bytes: ['int32_t', 20],
    type: ['text', 24], name: ['text', 32], least: ['double', 40], most: ['double', 48],
  },
  tw_field_facts: { bytes: 48, field: ['int32_t', 4], name: ['text', 8], unit: ['text', 16], text: ['text', 24], least: ['double', 32], most: ['double', 40] },
};

const writer = new TextEncoder();
const reader = new TextDecoder();

/** Why there is no answer: status and its text, the figure at fault, what came in and what is allowed, and the row. */
export class Refused extends Error {
  constructor(call, status, text, why) {
    const allowed = why.field ? `; ${why.least} to ${why.most} is allowed` : '';
    super(`${call}: ${why.field || 'no figure'} = ${why.given}: ${text}${allowed}${why.item >= 0 ? `, row ${why.item}` : ''}`);
    Object.assign(this, { call, status, text }, why);
  }
}

/** The library in a WebAssembly module: its bytes, or what fetch() answered. */
export async function from_wasm(source) {
  const made =
    typeof Response !== 'undefined' && source instanceof Response
      ? await WebAssembly.instantiateStreaming(source, {})
      : await WebAssembly.instantiate(source, {});
  const { memory, __heap_base: heap, ...call } = made.instance.exports;
  return new Library({
    call,
    base: 0,
    wide: BigInt,
    from: heap.value,
    pointer: (view, at) => view.getUint32(at, true), // the other four bytes are nobody's
    buffer: () => memory.buffer,
    reach(end) {
      const missing = end - memory.buffer.byteLength;
      if (end > most_bytes) throw new RangeError(`a job for more than ${most_bytes} bytes`);
      if (missing > 0) memory.grow(Math.ceil(missing / 65536));
    },
    text_at(address) {
      const bytes = new Uint8Array(memory.buffer);
      return reader.decode(bytes.subarray(address, bytes.indexOf(0, address)));
    },
  });
}

export class Library {
  constructor(engine) {
    this.engine = engine;
    this.top = Math.ceil(engine.from / 16) * 16;
    this.structures = {};
    this.texts = {};
    this.functions = {};
    this.fields = { 0: { name: '', unit: '', text: '' } };
    engine.declare?.('tw_describe_count', 'int32_t', []);
    const listed = (what, count) => Array.from({ length: this.#plain(count) }, (_, place) => this.#described(what, place));
    for (const field of listed('field', 'tw_describe_field_count', 1)) this.fields[field.field] = field;
    listed('structure', 'tw_describe_structure_count').forEach((s, place) => {
      const members = Array.from({ length: s.members }, (_, at) => this.#described('member', place, at));
      for (const m of members) {
        m.each = m.text_bytes || this.structures[m.type]?.size || figure_bytes[m.type] || 8;
        m.values = m.size / m.each;
      }
      this.structures[s.name] = { name: s.name, size: s.size, members };
    });
    listed('function', 'tw_describe_count').forEach((f, place) => {
      const parts = Array.from({ length: f.arguments }, (_, at) => this.#described('argument', place, at));
      this.functions[f.name] = { name: f.name, returns: f.returns, text: f.text, arguments: parts };
      engine.declare?.(f.name, f.returns, parts.map((a) => a.type));
      this[f.name.slice(3)] = this.#callable(this.functions[f.name]);
    });
    this.abi = this.abi_version();
    this.version = this.version_text();
  }

  /** Runs what is given and frees all that it made. */
  within(what) {
    const before = this.top;
    try {
      return what();
    } finally {
      this.top = before;
    }
  }

  /** Address of so many bytes, on a multiple of 16, that live until the end of `within`. */
  room(bytes) {
    const at = this.top;
    this.top += Math.ceil(bytes / 16) * 16;
    this.engine.reach(this.top);
    return at + this.engine.base;
  }

  /** Address of a structure with its size set and these members; an array of objects becomes rows, one after the other. */
  make(kind, members = {}) {
    const rows = Array.isArray(members) ? members : [members];
    const { size } = this.structures[kind];
    const at = this.room(size * Math.max(1, rows.length));
    new Uint8Array(this.engine.buffer(), at - this.engine.base, size * rows.length).fill(0);
    rows.forEach((row, place) => this.#write(kind, at + place * size, row));
    return at;
  }

  /** What stands in a structure, as an object. */
  read(kind, at) {
    return this.#read(kind, at - this.engine.base, new DataView(this.engine.buffer()));
  }

  /** What a function of a plan writes into a structure: read_from('tw_plan_run', 'tw_run_plan', plan, 3). */
  read_from(call, kind, ...asked) {
    return this.within(() => {
      const at = this.make(kind);
      this.call(call, ...asked, at);
      return this.read(kind, at);
    });
  }

  /** Text that a function writes into a buffer of the caller's: most fit the first one. */
  text_from(call, ...asked) {
    return this.within(() => {
      const wide = this.engine.wide;
      const wanted = this.room(8);
      const written = (room) => {
        const buffer = this.room(room);
        const status = this.engine.call[call](...asked, buffer, wide(room), wanted, 0);
        const bytes = this.whole_at(wanted);
        if (status === no_room && bytes >= room) return written(bytes + 1);
        if (status !== 0) this.call(call, ...asked, buffer, wide(room), wanted); // tells why
        return reader.decode(new Uint8Array(this.engine.buffer(), buffer - this.engine.base, bytes));
      };
      return written(256);
    });
  }

  /** A text of the library by its number, "finding_text" or "limit_text": they never change. */
  text_of(call, number) {
    const known = (this.texts[call] ??= new Map());
    if (!known.has(number)) known.set(number, this[call](number));
    return known.get(number);
  }

  /** A function with addresses as they are; the reason at its end is added here. Throws Refused. */
  call(name, ...passed) {
    const entry = this.engine.call[name];
    const status = entry(...passed, 0);
    if (status === 0) return;
    throw this.within(() => {
      const at = this.make('tw_fault'); // the same question has the same answer: now with the reason
      entry(...passed, at);
      const { field, given, least, most, item } = this.read('tw_fault', at);
      const { name: said, unit } = this.fields[field] ?? this.fields[0];
      return new Refused(name, status, this.status_text(status), { field: said, number: field, unit, given, least, most, item });
    });
  }

  /** A whole number of four bytes, one of eight, and a pointer, that a function put there. */
  number_at(at) {
    return this.#view().getInt32(at - this.engine.base, true);
  }
  whole_at(at) {
    return Number(this.#view().getBigInt64(at - this.engine.base, true));
  }
  pointer_at(at) {
    return this.engine.pointer(this.#view(), at - this.engine.base);
  }

  doubles_at(at, count) {
    return new Float64Array(this.engine.buffer().slice(at - this.engine.base, at - this.engine.base + 8 * count));
  }

  /** Status and bits of every output of a function of figures: what the shared rows compare. */
  bits_of(name, figures) {
    return this.within(() => {
      const { passed, outs } = this.#laid_out(this.functions[name], figures);
      const status = this.engine.call[name](...passed, 0);
      const view = new DataView(this.engine.buffer());
      const words = outs.map(({ type, at }) => {
        if (type === 'int32_t') return BigInt.asUintN(64, BigInt(view.getInt32(at - this.engine.base, true)));
        const nan = type === 'double' && Number.isNaN(view.getFloat64(at - this.engine.base, true));
        return nan ? 0x7ff8000000000000n : view.getBigUint64(at - this.engine.base, true);
      });
      return { status, words: words.map((word) => word.toString(16).padStart(16, '0')) };
    });
  }

  #plain(name) {
    this.engine.declare?.(name, 'int32_t', []);
    return this.engine.call[name]();
  }

  #described(what, ...places) {
    const first = what === 'field' ? 1 : 0; // fields are numbered from 1
    const layout = facts[`tw_${what}_facts`];
    const name = `tw_describe_${what}`;
    this.engine.declare?.(name, 'int32_t', [...places.map(() => 'int32_t'), 'facts *', 'tw_fault *']);
    return this.within(() => {
      const at = this.room(layout.bytes);
      let view = new DataView(this.engine.buffer());
      view.setUint32(at - this.engine.base, layout.bytes, true);
      const status = this.engine.call[name](...places.map((p) => p + first), at, 0);
      if (status !== 0) throw new Error(`${name}(${places}) answers ${status}: not the library that was meant?`);
      view = new DataView(this.engine.buffer());
      const told = {};
      for (const [member, [type, offset]] of Object.entries(layout).slice(1)) {
        const where = at - this.engine.base + offset;
        if (type === 'text') told[member] = this.engine.text_at(this.engine.pointer(view, where));
        else told[member] = type === 'double' ? view.getFloat64(where, true) : view.getInt32(where, true);
      }
      return told;
    });
  }

  /** Makes a function of figures callable by figures: one result as it is, several as an object. */
  #callable(f) {
    const { name, returns } = f;
    const plain = (type) => type in figure_bytes || (type.endsWith(' *') && type.slice(0, -2) in figure_bytes) || type === 'tw_fault *';
    if (!f.arguments.every((a) => plain(a.type))) return undefined; // structures, arrays: through call
    if (returns !== 'tw_status') {
      const entry = (...given) => this.engine.call[name](...given);
      return returns === 'const char *' ? (...given) => this.engine.text_at(Number(entry(...given))) : entry;
    }
    const takes = f.arguments.filter((a) => !a.type.endsWith('*')).length;
    return (...given) => {
      if (given.length !== takes) throw new TypeError(`${name} takes ${takes} figures`);
      const before = this.top;
      try {
        const { passed, outs } = this.#laid_out(f, given);
        this.call(name, ...passed);
        const view = this.#view();
        if (outs.length === 1) return this.#figure(outs[0].type, outs[0].at - this.engine.base, view);
        return Object.fromEntries(outs.map((o) => [o.name, this.#figure(o.type, o.at - this.engine.base, view)]));
      } finally {
        this.top = before;
      }
    };
  }

  #laid_out(f, figures) {
    let next = 0;
    const outs = [];
    const passed = [];
    for (const { name, type } of f.arguments) {
      if (type === 'tw_fault *') continue;
      if (type.endsWith('*')) {
        const at = this.room(8);
        outs.push({ name, type: type.slice(0, -2), at });
        passed.push(at);
      } else {
        const figure = figures[next++];
        passed.push(type === 'int64_t' ? this.engine.wide(figure) : figure);
      }
    }
    return { passed, outs };
  }

  #view() {
    const buffer = this.engine.buffer();
    if (this.seen?.buffer !== buffer) this.seen = new DataView(buffer);
    return this.seen;
  }

  #figure(type, at, view) {
    if (type === 'double') return view.getFloat64(at, true);
    if (type === 'int64_t' || type.startsWith('const ')) return Number(view.getBigInt64(at, true));
    return type === 'uint32_t' ? view.getUint32(at, true) : view.getInt32(at, true);
  }

  #write(kind, address, row) {
    const { size, members } = this.structures[kind];
    const view = this.#view();
    let known = 0;
    for (const { name, type, offset, text_bytes, each, values: most } of members) {
      const at = address + offset;
      const place = at - this.engine.base;
      if (name === 'struct_size') view.setUint32(place, size, true);
      const value = row[name];
      if (value === undefined) continue;
      known += 1;
      const values = Array.isArray(value) ? value : [value];
      if (values.length > most) throw new RangeError(`${name}: ${most} at most`);
      values.forEach((one, i) => {
        const where = place + i * each;
        if (text_bytes) {
          const written = writer.encode(one);
          if (written.length >= text_bytes) throw new RangeError(`${name}: ${text_bytes - 1} bytes at most`);
          new Uint8Array(view.buffer, where, text_bytes).set(written);
        } else if (type in this.structures) this.#write(type, at + i * each, one);
        else if (type === 'double') view.setFloat64(where, one, true);
        else if (each === 8) view.setBigInt64(where, BigInt(one), true);
        else view.setInt32(where, one, true);
      });
    }
    if (known < Object.values(row).filter((value) => value !== undefined).length) {
      throw new TypeError(`${kind} has no ${Object.keys(row).find((name) => !members.some((m) => m.name === name))}`);
    }
  }

  #read(kind, place, view) {
    const told = {};
    for (const { name, type, offset, text_bytes, each, values } of this.structures[kind].members) {
      if (name === 'struct_size' || name === 'reserved') continue;
      const one = (i) => {
        const at = place + offset + i * each;
        if (text_bytes) {
          const whole = new Uint8Array(view.buffer, at, text_bytes);
          return reader.decode(whole.subarray(0, whole.indexOf(0)));
        }
        return type in this.structures ? this.#read(type, at, view) : this.#figure(type, at, view);
      };
      told[name] = values === 1 ? one(0) : Array.from({ length: values }, (_, i) => one(i));
    }
    return told;
  }
}
