#include "attributes.hpp"
#include "profile.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::profiles {
namespace {

state::Problem problem(std::string found, std::string expected, std::string remedy) {
    return {"query", {}, std::move(found), std::move(expected), std::move(remedy)};
}

std::string ids_of(const Profile& profile) {
    std::string ids;
    for (const auto& [id, query] : profile.queries)
        ids.append(ids.empty() ? "" : ", ").append(id);
    return ids;
}

/// A value that begins with "-" could be taken for an option by the device.
bool fits(const Alphabet& alphabet, std::string_view value) {
    return !value.empty() && value.size() <= alphabet.longest && value.front() != '-' &&
           value.find_first_not_of(alphabet.characters) == std::string_view::npos;
}

std::string described(const Alphabet& alphabet) {
    return "1 to " + std::to_string(alphabet.longest) + " characters of \"" + alphabet.characters +
           "\", the first of them not \"-\"";
}

} // namespace

std::string Asking::key() const {
    std::string key = query;
    for (const auto& [name, value] : parameters)
        key.append(" ").append(value);
    return key;
}

tl::expected<std::string, state::Problem> request_bytes(const Profile& profile,
                                                        const Asking& asking) {
    const auto query = profile.queries.find(asking.query);
    if (query == profile.queries.end())
        return tl::make_unexpected(
            problem(asking.query, "a query of the profile: " + ids_of(profile),
                    "Ask one of these, or add it to the profile of " + profile.family + "."));
    const std::vector<std::string> declared = parameters_of(query->second);
    for (const auto& [name, value] : asking.parameters)
        if (std::find(declared.begin(), declared.end(), name) == declared.end())
            return tl::make_unexpected(problem(name, "a parameter of the query " + asking.query,
                                               "Leave the parameter out."));
    std::string bytes;
    for (const Word& word : query->second.ask) {
        bytes.append(bytes.empty() ? "" : " ");
        if (const auto* text = std::get_if<std::string>(&word)) {
            bytes.append(*text);
            continue;
        }
        const std::string& name = std::get<Parameter>(word).name;
        const auto value = asking.parameters.find(name);
        const auto alphabet = profile.parameters.find(name);
        if (value == asking.parameters.end() || alphabet == profile.parameters.end())
            return tl::make_unexpected(
                problem("", "the parameter \"" + name + "\" of the query " + asking.query,
                        "Give the parameter a value."));
        if (!fits(alphabet->second, value->second))
            return tl::make_unexpected(problem(
                value->second, "for the parameter \"" + name + "\" " + described(alphabet->second),
                "Correct the name, or widen [parameters." + name + "] in the profile."));
        bytes.append(value->second);
    }
    return bytes;
}

std::vector<Asking> all_queries(const Profile& profile) {
    std::vector<Asking> askings;
    for (const auto& [id, query] : profile.queries)
        if (parameters_of(query).empty())
            askings.push_back({id, {}});
    return askings;
}

units::Duration refresh_of(const Profile& profile, const std::set<Asking>& askings) {
    units::Duration largest{0};
    for (const Asking& asking : askings)
        if (const auto query = profile.queries.find(asking.query); query != profile.queries.end())
            largest = std::max(largest, query->second.refresh);
    return largest;
}

std::optional<Asking> from_key(const Profile& profile, std::string_view key) {
    const auto take = [&key] {
        const std::string_view word = key.substr(0, key.find(' '));
        key.remove_prefix(std::min(word.size() + 1, key.size()));
        return std::string{word};
    };
    const std::string whole{key};
    Asking asking{take(), {}};
    const auto query = profile.queries.find(asking.query);
    if (query == profile.queries.end())
        return std::nullopt;
    std::vector<std::string> names = parameters_of(query->second);
    std::sort(names.begin(), names.end());
    for (const std::string& name : names)
        asking.parameters[name] = take();
    if (asking.key() != whole || !request_bytes(profile, asking))
        return std::nullopt;
    return asking;
}

} // namespace slotwitness::profiles
