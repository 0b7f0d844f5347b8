// Requests that are right but for one thing, made from the contract.
const otherTypes = [null, true, 7, -1, 1e308, "", [], {}, ["x"], { x: 1 }];
const oddTexts = ["", " ", "\u0000", "\uFEFFx", "é́", "\uD83D\uDE00".repeat(50), "x".repeat(5000), "../../etc/passwd", "%s%n", "' OR 1=1 --", "<b>"];
const oddSegments = ["%00", "%2e%2e", "..", "%ff%fe", "%2F", "a".repeat(1500), "none", "%", "%zz", "é", "~", ";x", "*"];
// No wait that is as long as the daemon lets anybody wait: it would be an answer that is right, and late.
const oddFields = {
    "If-Match": ['"', '""', "*", 'W/"1"', '"1", "2"', "1", '"99999999999999999999"', '"-1"', ",", '"1'],
    "If-None-Match": ["*", '"', 'W/"', ",,,", 'W/"1", W/"2"', "x".repeat(3000)],
    Prefer: ["wait=0", "wait=-1", "wait=x", "wait", "wait=0;x", "respond-async", "wait=0, wait=0"],
    "Idempotency-Key": ['""', '"', '"a" "b"', "x".repeat(3000), '"\\"', "é"],
    "Last-Event-ID": ["x", "", "-1", "99999999999999999999", "x".repeat(3000)],
    Accept: ["", "*/*;q=2", "*/*;q=0", ",", "text", "application/json;q=0.0000001", "a/b, ".repeat(200)],
    "Content-Type": ["text/plain", "application/json; charset=utf-16", "application/json;", "json", "application/x-www-form-urlencoded"],
    Authorization: ["", "Bearer", "Bearer ", "Basic YTpi", "Bearer a b", `Bearer ${"x".repeat(4000)}`, "bearer sw1.x.y"],
    Origin: ["null", "https://elsewhere.example", "x"],
};
const oddNumbers = ["0", "-1", "1", "999", "1000", "1001", "1e3", "0x10", "99999999999999999999", "", " 1", "1.5", "NaN"];

function withOneFieldWrong(random, schema, body) {
    const wrong = { ...body };
    const names = Object.keys(schema.properties ?? {});
    const name = names.length ? random.of(names) : "by";
    switch (random.below(5)) {
        case 0:
            delete wrong[random.of(Object.keys(wrong).concat(name))];
            break;
        case 1:
            wrong[name] = random.of(otherTypes);
            break;
        case 2:
            wrong[name] = random.of(oddTexts);
            break;
        case 3:
            wrong[`${name}_`] = "x";
            break;
        case 4:
            return random.of(otherTypes); // no object at all
    }
    return wrong;
}

/// `sample` has method, path, fields and body that are right; of `operation`.
export function nearValid(random, operation, sample) {
    const request = { ...sample, fields: { ...sample.fields } };
    const ways = ["field", "field", "method", "path", "query", ...(operation.body ? ["body", "body", "body", "text"] : [])];
    switch (random.of(ways)) {
        case "field": {
            const name = random.of(Object.keys(oddFields));
            const value = random.of(oddFields[name]);
            request.fields[name] = Buffer.from(value).toString("latin1"); // as its bytes
            break;
        }
        case "method":
            request.method = random.of(["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"]);
            break;
        case "path": {
            const segments = request.path.split("/");
            segments[1 + random.below(segments.length - 1)] = encodeURI(random.of(oddSegments)).replaceAll("%25", "%");
            request.path = segments.join("/");
            break;
        }
        case "query":
            request.path += `?${random.of(["limit", "after", "x", ""])}=${encodeURI(random.of(oddNumbers))}`;
            break;
        case "body":
            request.body = withOneFieldWrong(random, operation.body, sample.body);
            break;
        case "text": {
            const text = JSON.stringify(sample.body);
            request.body = random.of([
                text.slice(0, random.below(text.length)), `${text}${text}`, text.replaceAll('"', "'"), `\uFEFF${text}`,
                text.replace("{", '{"x": 1, "x": 2, '), "[".repeat(20_000), `${'{"a":'.repeat(5_000)}1`, `{"a": 1${"0".repeat(5_000)}}`,
            ]);
            break;
        }
    }
    return request;
}
