#include "refusal.hpp"

#include "called.hpp"
#include "say.hpp"
#include "view.hpp"

#include <algorithm>
#include <set>

namespace slotwitness::witness {
namespace {

using namespace std::chrono_literals;

state::Problem problem(std::string where, std::string found, std::string expected,
                       std::string remedy) {
    return {std::move(where), {}, std::move(found), std::move(expected), std::move(remedy)};
}

std::optional<state::Problem> bad_setting(const GateOpened& gate) {
    if (gate.askings.empty())
        return problem("gate", "no query", "at least one query that its looks ask",
                       "Name the queries that the sentence needs.");
    if (gate.gap <= 0ms || gate.gap > longest_setting)
        return problem("gate", "gap of " + std::to_string(gate.gap.count()) + " ms",
                       "more than 0 s and at most " + units::to_text(longest_setting),
                       "Give the longest time that may lie between two looks.");
    if (gate.refresh < 0ms || gate.refresh > longest_setting)
        return problem("gate", "refresh of " + std::to_string(gate.refresh.count()) + " ms",
                       "0 s to " + units::to_text(longest_setting),
                       "Mend the refresh in the profile.");
    if (gate.guard < 0ms || gate.guard > longest_setting)
        return problem("gate", "guard time of " + std::to_string(gate.guard.count()) + " ms",
                       "0 s to " + units::to_text(longest_setting),
                       "Give a guard time, or 0 to guard it until it is deleted.");
    return std::nullopt;
}

/// Column of `name` as a word of its own, from 1; 0 if it stands there in another spelling.
std::size_t column_of(std::string_view sentence, std::string_view name) {
    for (std::size_t at = sentence.find(name); at != std::string_view::npos;
         at = sentence.find(name, at + 1)) {
        const std::size_t from = at == 0 ? 0 : at - 1;
        if (names(sentence.substr(from, name.size() + (at - from) + 1), name))
            return at + 1;
    }
    return 0;
}

std::optional<state::Problem>
unknown_name(const GateOpened& gate, const sentences::Condition& condition, const Known& known) {
    const Called called(condition);
    for (const Component& component : called.components()) {
        if (known.inventory.of(component.kind) == nullptr)
            continue;
        const Inventory::Names inventory = known.inventory.names(component.kind);
        std::set<std::string> there(inventory.begin(), inventory.end());
        if (const auto listed = known.listed.find(component.kind); listed != known.listed.end())
            there.insert(listed->second.begin(), listed->second.end());
        if (there.contains(component.name))
            continue;
        return state::Problem{"sentence",
                              {1, column_of(gate.sentence, component.name)},
                              spoken(component),
                              "a " + spoken(component.kind) +
                                  " of this chassis: " + spoken_list(there) + " (" +
                                  std::string(known.inventory.source(component.kind)) + ")",
                              "Write the name as the device prints it, or add it to the inventory "
                              "in the configuration."};
    }
    return std::nullopt;
}

} // namespace

tl::expected<sentences::Sentence, state::Problem> admit(const GateOpened& gate,
                                                        const Known& known) {
    if (auto bad = bad_setting(gate))
        return tl::unexpected(std::move(*bad));
    auto sentence = sentences::parse(gate.sentence);
    if (!sentence)
        return sentence;
    if (auto unknown = unknown_name(gate, sentence->condition, known))
        return tl::unexpected(std::move(*unknown));
    return sentence;
}

} // namespace slotwitness::witness
