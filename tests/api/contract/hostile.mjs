// Bytes that no well-meant client sends. `most`: how many responses may come of them, so that a request which hides
// within another is seen when it is answered.
const host = "Host: 127.0.0.1\r\n";
const hidden = "GET /livez HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";

const smuggling = (head) => ({ bytes: `POST /v1/gates HTTP/1.1\r\n${host}Content-Type: application/json\r\n${head}`, most: 1 });

/// RFC 9112 §6.1, §6.3, §11.2: lengths that two readers may take for different ones.
const lengths = [
    () => smuggling(`Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`Transfer-Encoding: identity, chunked\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`Transfer-Encoding : chunked\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`Transfer-Encoding:\tchunked\r\nContent-Length: 5\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`Transfer-Encoding: xchunked\r\nContent-Length: 5\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`X: y\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length: 0\r\nContent-Length: ${hidden.length}\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length: ${hidden.length}, 0\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length: +0\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length: 0x0\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length: -1\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length: 18446744073709551616\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length:\r\n 0\r\n\r\n${hidden}`),
    () => smuggling(`Content-Length : 0\r\n\r\n${hidden}`),
    () => ({ bytes: `GET /livez HTTP/1.1\r\n${host}Content-Length: ${hidden.length}\r\n\r\n${hidden}`, most: 1 }),
    () => ({ bytes: `GET /livez HTTP/1.1\n${host}\n${hidden}`, most: 1 }),
    () => ({ bytes: `GET /livez HTTP/1.1\r\r\n${host}\r\n${hidden}`, most: 1 }),
];

const oversize = [
    (random) => ({ bytes: `GET /${"a".repeat(2_000 + random.below(20_000))} HTTP/1.1\r\n${host}\r\n`, most: 1 }),
    (random) => ({ bytes: `GET /livez HTTP/1.1\r\n${host}${"X: y\r\n".repeat(random.below(5_000))}\r\n`, most: 1 }),
    (random) => ({ bytes: `GET /livez HTTP/1.1\r\n${host}X: ${"y".repeat(random.below(30_000))}\r\n\r\n`, most: 1 }),
    (random) => ({ bytes: `GET /livez HTTP/1.1\r\n${host}${"x".repeat(random.below(30_000))}: y\r\n\r\n`, most: 1 }),
    () => smuggling(`Content-Length: 65537\r\n\r\n${"x".repeat(65_537)}`),
    () => smuggling(`Content-Length: 4294967296\r\n\r\n${"x".repeat(100_000)}`),
    () => smuggling(`Expect: 100-continue\r\nContent-Length: 99999999\r\n\r\n`),
];

const forms = [
    "GET /livez\r\n", "GET /livez HTTP/0.9\r\n\r\n", `GET /livez HTTP/2.0\r\n${host}\r\n`, `GET /livez HTTP/1.2\r\n${host}\r\n`,
    "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", `GET  /livez HTTP/1.1\r\n${host}\r\n`, ` GET /livez HTTP/1.1\r\n${host}\r\n`,
    `GET /livez HTTP/1.1 \r\n${host}\r\n`, `GET\t/livez\tHTTP/1.1\r\n${host}\r\n`, `get /livez HTTP/1.1\r\n${host}\r\n`,
    `CONNECT 127.0.0.1:22 HTTP/1.1\r\n${host}\r\n`, `OPTIONS * HTTP/1.1\r\n${host}\r\n`, `TRACE / HTTP/1.1\r\n${host}\r\n`,
    `GET http://elsewhere.example/livez HTTP/1.1\r\n${host}\r\n`, `GET //livez HTTP/1.1\r\n${host}\r\n`, `GET * HTTP/1.1\r\n${host}\r\n`,
    "GET /livez HTTP/1.1\r\n\r\n", "GET /livez HTTP/1.1\r\nHost: elsewhere.example\r\n\r\n", `GET /livez HTTP/1.1\r\n${host}${host}\r\n`,
    "GET /livez HTTP/1.1\r\nHost: 127.0.0.1@elsewhere.example\r\n\r\n", `GET /livez#x HTTP/1.1\r\n${host}\r\n`,
    `GET /livez HTTP/1.1\r\n${host}X\r\n\r\n`, `GET /livez HTTP/1.1\r\n${host}: y\r\n\r\n`, `GET /livez HTTP/1.1\r\n${host}X: a\0b\r\n\r\n`,
    `GET /livez HTTP/1.1\r\n${host}X: y\r\n z\r\n\r\n`, `GET /livez HTTP/1.1\r\n${host}X: a\rb\r\n\r\n`, `GET /livez HTTP/1.1\r\n${host}Expect: x\r\n\r\n`,
    `GET /liv\0ez HTTP/1.1\r\n${host}\r\n`, `GET /\xff\xfe HTTP/1.1\r\n${host}\r\n`, `GET /v1/gates/\xc3\x28 HTTP/1.1\r\n${host}\r\n`,
    `GET /livez HTTP/1.1\r\n${host}X: \xff\xfe\x80\r\n\r\n`, "\r\n".repeat(5_000), "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
].map((bytes) => () => ({ bytes, most: 1 }));

const bodies = ["\xff\xfe", '{"chassis": "\xc3\x28", "sentence": "x"}', '{"chassis": "\\ud800", "sentence": "x"}', "\x00", "[".repeat(60_000)]
    .map((body) => () => smuggling(`Content-Length: ${body.length}\r\n\r\n${body}`));

const broken = [
    (random) => ({ bytes: hidden.slice(0, random.below(hidden.length - 1)), most: 1 }),
    (random) => ({ ...smuggling(`Content-Length: ${1 + random.below(1_000)}\r\n\r\n`), most: 1 }),
    (random) => ({ bytes: hidden.slice(0, random.below(hidden.length - 1)), most: 1, resets: true }),
    (random) => ({ bytes: hidden.repeat(1 + random.below(20)), most: 20, resets: random.below(2) === 0 }),
    (random) => ({ bytes: random.bytes(1 + random.below(10_000)), most: 1 }),
    (random) => {
        const bytes = Buffer.from(hidden);
        bytes[random.below(bytes.length)] = random.below(256);
        return { bytes, most: 1 };
    },
];

/// Of each kind as often.
export const hostile = (random) => random.of(random.of([lengths, oversize, forms, bodies, broken]))(random);
