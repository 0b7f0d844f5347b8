#include "close_out.hpp"

#include "day.hpp"

#include <slotwitness/witness/say.hpp>

#include <algorithm>
#include <fstream>
#include <string>
#include <string_view>

namespace slotwitness::days {

namespace {

using card::Card;

/// Parts of a line, "; " between them.
class Parts {
  public:
    void add(const std::string& part) { text_ += (text_.empty() ? "" : "; ") + part; }
    /// Each that was told again right behind itself only once.
    void add_new(const std::string& part) {
        if (part != last_)
            add(part);
        last_ = part;
    }
    [[nodiscard]] const std::string& text() const { return text_; }

  private:
    std::string text_, last_;
};

std::string line(std::string name, const std::string& text) {
    name.resize(10, ' ');
    return text.empty() ? "" : name + text + "\n";
}

std::string words(std::string_view word) {
    std::string text(word);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

std::string part_of(const std::optional<card::Seen>& seen) {
    if (!seen || seen->listing == card::Seen::Listing::unknown)
        return "not known";
    if (seen->listing == card::Seen::Listing::not_listed)
        return "not listed";
    return seen->serial.value_or("without serial");
}

/// The furthest step that was begun, on the way on which the work was last.
std::string reached(const Card& card) {
    std::string text;
    for (const auto* lines : {&card.steps, &card.way_back})
        for (const card::StepLine& each : *lines)
            if (each.finding.stage != witness::Stage::waiting)
                text = each.plan.name + " " + std::string(to_word(each.finding.stage));
    return text;
}

/// A rule's loss with what the device reported: the rule's name alone does not tell of which part.
std::string of(const card::Loss& loss) {
    std::string text = std::string(to_word(loss.of)) + (loss.name.empty() ? "" : " ") + loss.name;
    return loss.of == witness::StopAnswered::Of::rule ? text + " (" + loss.text + ")" : text;
}

/// A table's row in single blanks, without the number that the device gives an alarm.
std::string fault_of(const card::Line& line) {
    std::string text;
    for (const char byte : line.text)
        if ((byte != ' ' && byte != '\n') || (!text.empty() && text.back() != ' '))
            text += byte == '\n' ? ' ' : byte;
    return text.substr(text.find(' ') + 1);
}

std::string of(const witness::HandbackItem& item) {
    if (item.component.name.empty())
        return "every " + witness::spoken(item.component.kind);
    const bool is_alarm = item.component.kind == state::Kind::alarm;
    std::string text = is_alarm ? "alarm " + item.says : witness::spoken(item.component);
    for (const witness::Change& change : item.changes)
        if (change.what == "present")
            text = is_alarm ? (change.is == "yes" ? "new " : "ended ") + text
                            : text + (change.is == "yes" ? " new" : " gone");
        else
            text += " " + change.what;
    return text + (item.changes.empty() ? " not known" : "");
}

} // namespace

std::string in_short(const Card& card) {
    Parts shown, lost, people, meant, differs, waived, faults;
    for (const card::Alert& alert : card.alerts)
        shown.add_new(std::string(to_word(alert.word)) +
                      (alert.step.empty() ? "" : " at " + alert.step));
    for (const card::Loss& loss : card.losses)
        lost.add(of(loss));
    for (const card::Deed& deed : card.deeds)
        people.add(words(to_word(deed.kind)) + (deed.of.empty() ? "" : " ") + deed.of);
    if (card.handback)
        for (const witness::HandbackItem& item : card.handback->items)
            switch (item.fate) {
            case witness::Fate::as_it_was:
                break;
            case witness::Fate::meant_to_change:
                meant.add(witness::spoken(item.component));
                break;
            case witness::Fate::waived:
                waived.add(of(item));
                break;
            case witness::Fate::not_meant_to_change:
            case witness::Fate::not_known:
                differs.add(of(item));
                break;
            }
    for (const auto* seen : {&card.before, &card.newest})
        if (*seen)
            for (const card::Line& fault : (*seen)->faults)
                faults.add((seen == &card.before ? "before " : "last ") + fault_of(fault));
    const auto outcome = card.finding.outcome;
    return line("outcome", outcome ? words(to_word(*outcome)) : "under way") +
           line("part", card.work_slot
                            ? part_of(card.before) + " before, " + part_of(card.newest) + " last"
                            : "") +
           line("reached", reached(card)) + line("shown", shown.text()) +
           line("lost", lost.text()) + line("people", people.text()) +
           line("as meant", meant.text()) + line("differs", differs.text()) +
           line("waived", waived.text()) + line("faults", faults.text());
}

std::string close_out_of(const std::string& rehearsal) {
    std::ifstream file(family + "/rehearsals/close-outs.expected");
    std::string text;
    bool is_its = false;
    for (std::string line; std::getline(file, line);)
        if (line.starts_with("["))
            is_its = line == "[" + rehearsal + "]";
        else if (is_its && !line.empty())
            text += line + "\n";
    return text;
}

} // namespace slotwitness::days
