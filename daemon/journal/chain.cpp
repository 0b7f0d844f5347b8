#include "chain.hpp"

#include "canonical.hpp"

#include <nlohmann/json.hpp>

#include <stdexcept>

namespace slotwitness::journal {

using nlohmann::json;

Entry next_entry(std::string_view chassis, const Head& head, const json& body) {
    if (!body.is_object() || body.size() != 4)
        throw std::invalid_argument("a journal body has the members at, type, event and findings");
    for (const char* member : {"at", "type", "event", "findings"})
        if (!body.contains(member))
            throw std::invalid_argument(std::string("a journal body has no member ") + member);

    Entry entry;
    entry.chassis = chassis;
    entry.sequence = head.sequence + 1;
    entry.previous = head.hash;
    json line = body;
    line["chassis"] = entry.chassis;
    line["seq"] = std::to_string(entry.sequence);
    line["prev"] = entry.previous;
    entry.line = canonical(line);
    entry.hash = digest_of(entry.line);
    return entry;
}

std::optional<std::string> broken(const Entry& entry, std::string_view chassis, const Head& head) {
    const auto sentence = [&](const std::string& what) {
        return std::optional("entry " + std::to_string(head.sequence + 1) + " of chassis \"" +
                             std::string(chassis) + "\" " + what);
    };
    if (entry.sequence != head.sequence + 1)
        return sentence("is missing: entry " + std::to_string(entry.sequence) +
                        " stands in its place");
    if (digest_of(entry.line) != entry.hash)
        return sentence("was altered: its line does not have the SHA-256 stored beside it");
    if (entry.previous != head.hash)
        return sentence("does not follow the entry before: it names another hash");
    const json line = json::parse(entry.line, nullptr, false);
    const auto says = [&line](const char* member, std::string_view value) {
        const auto found = line.find(member);
        return found != line.end() && found->is_string() &&
               found->get_ref<const std::string&>() == value;
    };
    if (!line.is_object() || !says("chassis", chassis) || !says("prev", head.hash) ||
        !says("seq", std::to_string(entry.sequence)))
        return sentence("was altered: its line names another chassis, place or entry before");
    return std::nullopt;
}

} // namespace slotwitness::journal
