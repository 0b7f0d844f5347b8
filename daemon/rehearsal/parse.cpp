#include "rehearsal.hpp"

#include <slotwitness/keys/fields.hpp>

#include <array>
#include <utility>

namespace slotwitness::rehearsal {

namespace {

using keys::Fields;
using witness::Closing;
using witness::Stage;
using witness::Word;

/// One of the words that a key may have; the first where there is none of them.
template <class Value, std::size_t Count>
Value word_of(Fields& fields, std::string_view key, const std::array<Value, Count>& all) {
    std::vector<std::string> words;
    for (const Value value : all)
        words.emplace_back(to_word(value));
    const auto at = fields.word(key, words);
    return at ? all[*at] : all.front();
}

Turn read_turn(const toml::table& table, keys::Problems& problems) {
    Fields fields(table, "[[turn]]", problems);
    Turn turn;
    turn.step = fields.required_text("step", "pull-tray");
    turn.stage = word_of(fields, "at", std::array{Stage::fact, Stage::released, Stage::confirmed});
    turn.orders = fields.texts("orders");
    turn.word =
        word_of(fields, "shows", std::array{Word::stop, Word::call, Word::wait, Word::state_met});
    turn.says = fields.text("says").value_or("");
    turn.first = fields.text("advice").value_or("");
    turn.then_orders = fields.texts("then-orders");
    for (const std::string& text : fields.texts("then")) {
        if (auto move = parse_move(text))
            turn.then.push_back(std::move(*move));
        else
            fields.wrong(
                "then", text,
                "answer rule NAME, answer step NAME, answer cooling, answer chassis, answer "
                "serial, "
                "at-chassis SERIAL-END, back-out, try-again, force, skip, or close OUTCOME "
                "with a ticket where it is degraded",
                "Write one act a text.");
    }
    turn.acts_on = fields.truth("acts-on").value_or(true);
    fields.finish();
    return turn;
}

std::map<std::string, std::string> read_texts(const toml::table* table, std::string_view path,
                                              keys::Problems& problems) {
    std::map<std::string, std::string> texts;
    if (!table)
        return texts;
    Fields fields(*table, std::string(path), problems);
    for (const auto& [key, value] : *table)
        if (auto text = fields.text(key.str()))
            texts[std::string(key.str())] = std::move(*text);
    fields.finish();
    return texts;
}

void read_into(Rehearsal& rehearsal, const keys::File& file, bool is_base,
               keys::Problems& problems) {
    const auto root = keys::parse(file, problems);
    if (!root)
        return;
    Fields fields(*root, "the rehearsal", problems);
    if (auto title = fields.text("title"))
        rehearsal.title = std::move(*title);
    if (auto procedure = fields.text("procedure"))
        rehearsal.procedure = std::move(*procedure);
    if (auto read = fields.text("at-chassis"))
        rehearsal.at_chassis = std::move(*read);
    if (root->contains("outcome"))
        rehearsal.outcome =
            word_of(fields, "outcome",
                    std::array{Closing::done, Closing::backed_out, Closing::closed_degraded});
    for (auto& [name, value] : read_texts(fields.table("arguments"), "[arguments]", problems))
        rehearsal.arguments[name] = value;
    for (auto& [text, reason] : read_texts(fields.table("accepted"), "[accepted]", problems)) {
        if (const auto component = component_in(text))
            rehearsal.accepted.push_back({*component, reason});
        else
            fields.wrong("accepted", text, "a kind and a name, such as \"module FAB3\"",
                         "Name one part of the chassis.");
    }
    if (const toml::table* orders = fields.table("orders")) {
        Fields steps(*orders, "[orders]", problems);
        for (const auto& [step, value] : *orders)
            rehearsal.orders[std::string(step.str())] = steps.texts(step.str());
        steps.finish();
    }
    for (const toml::table* turn : fields.tables("turn"))
        rehearsal.turns.push_back(read_turn(*turn, problems));
    static_cast<void>(fields.text("based-on"));
    if (!is_base && rehearsal.procedure.empty())
        fields.require("procedure", "procedure = \"replace-fabric-module\"");
    fields.finish();
}

} // namespace

tl::expected<Rehearsal, std::vector<state::Problem>>
parse_rehearsal(std::span<const keys::File> files) {
    Rehearsal rehearsal;
    std::vector<state::Problem> found;
    for (std::size_t i = files.size(); i-- > 0;) {
        keys::Problems problems(files.subspan(i, 1));
        rehearsal.turns.clear(); // what happens on a day is that day's alone
        read_into(rehearsal, files[i], i > 0, problems);
        for (state::Problem& problem : std::move(problems).take())
            found.push_back(std::move(problem));
    }
    if (!found.empty())
        return tl::unexpected(std::move(found));
    return rehearsal;
}

std::optional<std::string> based_on(const keys::File& file) {
    keys::Problems ignored({&file, 1});
    const auto root = keys::parse(file, ignored);
    return root ? (*root)["based-on"].value<std::string>() : std::nullopt;
}

} // namespace slotwitness::rehearsal
