#include "grounds.hpp"

#include <slotwitness/witness/view.hpp>

#include <string_view>
#include <utility>
#include <variant>

namespace slotwitness::timeline {

namespace {

/// Numbers, and pieces of text each with its length before it, as one text.
class Spelled {
  public:
    void add(std::string_view piece) {
        text_.append(std::to_string(piece.size())).append(":").append(piece);
    }
    void add(std::size_t number) { text_.append(std::to_string(number)).append(","); }
    [[nodiscard]] std::string take() && { return std::move(text_); }

  private:
    std::string text_;
};

} // namespace

std::string grounds_of(const state::Reading& reading) {
    Spelled spelled;
    spelled.add(reading.lists.size());
    for (const state::Kind kind : reading.lists)
        spelled.add(static_cast<std::size_t>(kind));
    for (const state::Row& row : reading.rows) {
        spelled.add(static_cast<std::size_t>(row.kind));
        spelled.add(row.name);
        spelled.add(row.facts.size());
        for (const auto& [attribute, fact] : row.facts) {
            spelled.add(static_cast<std::size_t>(attribute));
            if (witness::moves_by_itself(attribute))
                continue;
            spelled.add(fact.value.index());
            if (const auto* names = std::get_if<state::Names>(&fact.value)) {
                spelled.add(names->size());
                for (const std::string& name : *names)
                    spelled.add(name);
            } else {
                spelled.add(state::to_text(fact.value));
            }
        }
    }
    return std::move(spelled).take();
}

} // namespace slotwitness::timeline
