#include "world.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

namespace slotwitness::witness::test {

using state::AdminState;
using state::OperState;

state::Value quantity(std::string_view text) {
    if (const auto value = units::parse_quantity(text))
        return *value;
    throw std::invalid_argument("no quantity: " + std::string(text));
}

Facts facts(AdminState admin, OperState oper) {
    return {{Attribute::admin, admin}, {Attribute::oper, oper}};
}

Sheet& Sheet::row(Kind kind, const std::string& name, const Facts& facts) {
    state::Row row{kind, name, {++line_, 1}, name, {}};
    for (const auto& [attribute, value] : facts) {
        row.text += "  ";
        const std::size_t column = row.text.size() + 1;
        row.text += to_text(value);
        row.facts[attribute] = {value, {line_, column}};
    }
    reading_.rows.push_back(std::move(row));
    return *this;
}

Sheet& Sheet::unread(const std::string& text) {
    reading_.unread.push_back({++line_, text, 1, "a row"});
    return *this;
}

Sheet planes(std::initializer_list<std::pair<const char*, char>> states) {
    Sheet sheet({Kind::plane});
    for (const auto& [name, state] : states)
        sheet.row(Kind::plane, name,
                  facts(state == 's' || state == '?' ? AdminState::locked : AdminState::unlocked,
                        state == 'u'   ? OperState::enabled
                        : state == '?' ? OperState::unknown
                                       : OperState::disabled));
    return sheet;
}

Heard heard(const Sheet& sheet, std::string asking) {
    const auto reading = std::make_shared<const state::Reading>(sheet.reading());
    return {asking, "capture-of-" + asking, reading->whole,
            reading->whole ? "" : "cut after 812 bytes", reading};
}

View view(std::vector<Sheet> sheets, std::vector<Silent> silent) {
    std::vector<Heard> answers;
    for (const Sheet& sheet : sheets)
        answers.push_back(heard(sheet, "query" + std::to_string(answers.size() + 1)));
    return {std::move(answers), std::move(silent)};
}

sentences::Condition condition(std::string_view sentence) {
    auto parsed = sentences::parse(sentence);
    if (!parsed)
        throw std::invalid_argument(state::to_text(parsed.error()));
    return std::move(parsed->condition);
}

Inventory inventory(std::map<Kind, std::vector<std::string>> names) {
    Inventory inventory;
    inventory.state(names);
    return inventory;
}

Judgement truth(std::string_view sentence, const View& view, const Inventory& inventory) {
    return evaluate(condition(sentence), {view, inventory}).judgement;
}

Outcome World::tell(const Event& event) {
    Outcome outcome = witness.step(event);
    before = findings.size();
    findings.insert(findings.end(), outcome.findings.begin(), outcome.findings.end());
    next_due = outcome.next_due;
    return outcome;
}

void World::run(std::int64_t t, bool elapsed_known,
                std::map<Kind, std::vector<std::string>> inventory) {
    RunStarted started;
    started.elapsed_known = elapsed_known;
    started.inventory = std::move(inventory);
    tell({at(t), started});
}

RoundNumber World::begin(std::int64_t t, std::vector<std::string> askings) {
    tell({at(t), RoundStarted{++round_, std::move(askings)}});
    return round_;
}

void World::answer(std::int64_t t, std::int64_t asked, const Sheet& sheet,
                   const std::string& asking) {
    const auto reading = std::make_shared<const state::Reading>(sheet.reading());
    const Ending ending =
        reading->whole ? Ending{true, 0, ""} : Ending{false, {}, "cut after 812 bytes"};
    tell({at(t),
          Answered{round_, asking, at(asked), "capture-at-" + std::to_string(t), ending, reading}});
}

void World::fail(std::int64_t t, std::int64_t asked, const std::string& asking, NoAnswer why) {
    tell({at(t), Failed{round_, asking, at(asked), why, ""}});
}

void World::tick(std::int64_t t) {
    tell({at(t), Tick{}});
}

void World::look(std::int64_t a, std::int64_t b, const Sheet& sheet) {
    begin(a);
    answer(b, a, sheet);
}

void World::silence(std::int64_t a, std::int64_t b) {
    begin(a);
    fail(b, a);
}

void World::open(std::int64_t t, const std::string& sentence, const Terms& terms) {
    tell({at(t), GateOpened{terms.id, sentence, terms.askings, ms(terms.gap), ms(terms.refresh),
                            ms(terms.guard), "engineer", ""}});
}

void World::close(std::int64_t t, const std::string& id) {
    tell({at(t), GateClosed{id, "engineer"}});
}

GateFinding World::gate(const std::string& id) const {
    const auto all = history(id);
    if (all.empty())
        throw std::logic_error("no such gate: " + id);
    return all.back();
}

std::vector<GateFinding> World::history(const std::string& id) const {
    std::vector<GateFinding> found;
    for (const GateFinding& finding : all<GateFinding>())
        if (finding.id == id)
            found.push_back(finding);
    return found;
}

World opened(const std::string& sentence, const World::Terms& terms) {
    World world;
    world.run(0);
    world.open(0, sentence, terms);
    return world;
}

} // namespace slotwitness::witness::test
