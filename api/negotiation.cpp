#include "negotiation.hpp"

#include "limits.hpp"

#include <algorithm>
#include <charconv>

namespace slotwitness::api {

namespace {

/// RFC 9110 §12.4.2: 0 to 1 with up to three digits, here in thousandths; nothing if it is none.
std::optional<int> parse_quality(std::string_view text) {
    if (text.empty() || text.size() > 5 || (text[0] != '0' && text[0] != '1') ||
        (text.size() > 1 && text[1] != '.'))
        return std::nullopt;
    int thousandths = (text[0] - '0') * 1000;
    int weight = 100;
    for (const char c : text.substr(std::min<std::size_t>(2, text.size()))) {
        if (c < '0' || c > '9')
            return std::nullopt;
        thousandths += (c - '0') * weight;
        weight /= 10;
    }
    return thousandths <= 1000 ? std::optional{thousandths} : std::nullopt;
}

/// How closely a media range fits: 2 the very type, 1 "type/*", 0 "*/*", -1 not at all.
int closeness(std::string_view range, std::string_view offer) {
    if (same_token(range, offer))
        return 2;
    if (range == "*/*")
        return 0;
    const auto slash = offer.find('/');
    if (range.ends_with("/*") &&
        same_token(range.substr(0, range.size() - 1), offer.substr(0, slash + 1)))
        return 1;
    return -1;
}

int quality_of(std::string_view accept, std::string_view offer) {
    int closest = -1;
    int quality = 0;
    for (const std::string_view member : list_members(accept)) {
        const auto parts = list_members(member, ';');
        if (parts.empty())
            continue;
        const int close = closeness(parts[0], offer);
        if (close <= closest)
            continue;
        closest = close;
        quality = 1000;
        for (const std::string_view part : std::span{parts}.subspan(1))
            if (part.size() > 2 && same_token(part.substr(0, 2), "q="))
                quality = parse_quality(part.substr(2)).value_or(0);
    }
    return quality;
}

} // namespace

std::optional<std::string_view> negotiate(const Request& request,
                                          std::span<const std::string_view> offers) {
    const auto accept = request.field("Accept");
    if (!accept || trimmed(*accept).empty())
        return offers.front();
    std::optional<std::string_view> best;
    int best_quality = 0;
    for (const std::string_view offer : offers)
        if (const int quality = quality_of(*accept, offer); quality > best_quality) {
            best = offer;
            best_quality = quality;
        }
    return best;
}

std::optional<std::chrono::seconds> preferred_wait(const Request& request) {
    const auto prefer = request.field("Prefer");
    if (!prefer)
        return std::nullopt;
    for (const std::string_view member : list_members(*prefer)) {
        const auto parts = list_members(member, ';');
        if (parts.empty())
            continue;
        const auto equals = parts[0].find('=');
        if (!same_token(trimmed(parts[0].substr(0, equals)), "wait"))
            continue;
        // RFC 7240 §2: where a preference stands twice, the first counts.
        if (equals == std::string_view::npos)
            return std::nullopt;
        std::string_view value = trimmed(parts[0].substr(equals + 1));
        if (value.size() >= 2 && value.starts_with('"') && value.ends_with('"'))
            value = value.substr(1, value.size() - 2);
        if (value.empty() || value.find_first_not_of("0123456789") != std::string_view::npos)
            return std::nullopt;
        std::chrono::seconds::rep seconds = 0;
        const auto [end, error] =
            std::from_chars(value.data(), value.data() + value.size(), seconds);
        if (error == std::errc::result_out_of_range)
            return longest_wait;
        return std::min(std::chrono::seconds{seconds}, longest_wait);
    }
    return std::nullopt;
}

} // namespace slotwitness::api
