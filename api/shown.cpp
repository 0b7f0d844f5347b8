#include "shown.hpp"

#include "body.hpp"
#include "negotiation.hpp"

#include <slotwitness/readback/spelling.hpp>

#include <algorithm>
#include <array>

namespace slotwitness::api {

namespace {

constexpr std::array offers{json_type, text_type};

} // namespace

Response not_acceptable(const Request& request, std::string_view made) {
    ProblemDetails problem;
    problem.status = 406;
    problem.detail = "None of the media types in Accept is made here.";
    problem.field = "Accept";
    problem.found = request.field("Accept").value_or("");
    problem.expected = made;
    problem.remedy = "Leave Accept out for JSON.";
    return to_response(problem, request.path);
}

Response precondition_failed(const Request& request, const EntityTag& current) {
    ProblemDetails problem;
    problem.status = 412;
    problem.detail = "The condition of the request does not hold.";
    problem.field = request.field("If-Match") ? "If-Match" : "If-None-Match";
    problem.found = request.field(problem.field).value_or("");
    problem.expected = "a condition that holds for " + to_text(current);
    problem.remedy = "Read the resource again; If-Match compares strongly, and the tag is weak.";
    return to_response(problem, request.path);
}

Response conditional(const Request& request, const EntityTag& tag,
                     const std::function<nlohmann::json()>& make_json,
                     const std::function<std::string()>& make_text) {
    const auto type = negotiate(request, offers);
    if (!type)
        return not_acceptable(request, "application/json or text/plain");
    Response response;
    switch (evaluate(request, tag)) {
    case Precondition::failed:
        return precondition_failed(request, tag);
    case Precondition::not_modified:
        response.status = 304;
        break;
    case Precondition::go_on:
        response.fields.push_back({"Content-Type", *type == text_type ? "text/plain; charset=utf-8"
                                                                      : std::string{json_type}});
        response.body = *type == text_type ? make_text() : to_body(make_json());
        break;
    }
    response.fields.push_back({"ETag", to_text(tag)});
    response.fields.push_back({"Vary", "Accept, Prefer"}); // also with 304 (RFC 9110 §15.4.5)
    return response;
}

Next shown_or_awaited(const Request& request, Response shown, AwaitChange change,
                      std::uint64_t revision, bool is_over) {
    if (shown.status == 304)
        change.seen = revision;
    else if (shown.status != 200 || request.field("If-None-Match") || is_over)
        return shown;
    return change;
}

tl::expected<std::string, ProblemDetails> idempotency_key(const Request& request) {
    const auto value = request.field("Idempotency-Key");
    if (!value)
        return std::string{};
    std::string_view key = trimmed(*value);
    if (key.size() >= 2 && key.starts_with('"') && key.ends_with('"'))
        key = key.substr(1, key.size() - 2);
    const bool plain = std::ranges::all_of(
        key, [](char c) { return c > ' ' && c <= '~' && c != '"' && c != '\\'; });
    if (key.empty() || key.size() > 128 || !plain || request.count("Idempotency-Key") > 1) {
        ProblemDetails problem;
        problem.status = 400;
        problem.kind = "bad-field";
        problem.detail = "A header field is wrong.";
        problem.field = "Idempotency-Key";
        problem.found = *value;
        problem.expected = "one string of 1 to 128 visible ASCII characters in double quotes";
        problem.remedy = "A UUID serves well.";
        return tl::unexpected{std::move(problem)};
    }
    return request.asker.token.empty() ? std::string{key}
                                       : request.asker.token + '/' + std::string{key};
}

void show_code(nlohmann::json& out, const std::string& code) {
    out["code"] = code.empty() ? nlohmann::json(nullptr) : nlohmann::json(code);
    out["code_spelled"] =
        code.empty() ? nlohmann::json(nullptr) : nlohmann::json(readback::spelled(code));
}

std::string code_text(const std::string& code) {
    return code.empty() ? "" : "  code " + readback::shown(code);
}

std::string printable(std::string_view text) {
    std::string clean;
    for (std::size_t at = 0; at < text.size(); ++at) {
        const auto byte = static_cast<unsigned char>(text[at]);
        const bool c1 =
            byte == 0xC2 && at + 1 < text.size() && static_cast<unsigned char>(text[at + 1]) < 0xA0;
        if (c1)
            ++at;
        clean += byte < 0x20 || byte == 0x7F || c1 ? '?' : text[at];
    }
    return clean;
}

} // namespace slotwitness::api
