#pragma once

#include <slotwitness/witness/evaluate.hpp>
#include <slotwitness/witness/witness.hpp>

#include <initializer_list>
#include <memory>
#include <string>
#include <utility>
#include <vector>

/// A device as the tests need it: readings made by hand, and a witness that is told what happens.
namespace slotwitness::witness::test {

using state::Attribute;
using state::Kind;
using Facts = std::vector<std::pair<Attribute, state::Value>>;

inline Instant at(std::int64_t ms) {
    return Instant(Duration(ms));
}
inline Duration ms(std::int64_t count) {
    return Duration(count);
}

state::Value quantity(std::string_view text);
Facts facts(state::AdminState admin, state::OperState oper);

/// A reading line by line: each row and each unread line takes the next line of the answer.
class Sheet {
  public:
    explicit Sheet(std::vector<Kind> lists = {}) {
        reading_.lists = std::move(lists), reading_.whole = true;
    }
    Sheet& row(Kind kind, const std::string& name, const Facts& facts = {});
    Sheet& unread(const std::string& text);
    /// Its rows can be of these kinds.
    Sheet& about(std::vector<Kind> kinds) {
        reading_.tells = std::move(kinds);
        return *this;
    }
    Sheet& cut() {
        reading_.whole = false;
        return *this;
    }
    [[nodiscard]] state::Reading reading() const { return reading_; }

  private:
    state::Reading reading_;
    std::size_t line_ = 0;
};

/// Planes by name: `u` enabled and unlocked, `s` locked and disabled, `d` disabled and unlocked,
/// `?` locked, oper unknown.
Sheet planes(std::initializer_list<std::pair<const char*, char>> states);

Heard heard(const Sheet& sheet, std::string asking = "all");
View view(std::vector<Sheet> sheets, std::vector<Silent> silent = {});

/// The condition of a sentence that must parse.
sentences::Condition condition(std::string_view sentence);
Inventory inventory(std::map<Kind, std::vector<std::string>> names);
/// Truth of a sentence's condition over one look.
Judgement truth(std::string_view sentence, const View& view, const Inventory& inventory);

/// One chassis under witness, and everything it found.
class World {
  public:
    Witness witness;
    std::vector<Finding> findings;
    std::optional<Instant> next_due;
    std::size_t before = 0; ///< how many were found before the last event

    Outcome tell(const Event& event);
    void run(std::int64_t t, bool elapsed_known = true,
             std::map<Kind, std::vector<std::string>> inventory = {{Kind::plane, {"1", "2", "3"}}});
    RoundNumber begin(std::int64_t t, std::vector<std::string> askings = {"planes"});
    void answer(std::int64_t t, std::int64_t asked, const Sheet& sheet,
                const std::string& asking = "planes");
    void fail(std::int64_t t, std::int64_t asked, const std::string& asking = "planes",
              NoAnswer why = NoAnswer::timed_out);
    void tick(std::int64_t t);
    /// A round of one query, asked at a and answered at b.
    void look(std::int64_t a, std::int64_t b, const Sheet& sheet);
    /// A round of one query, asked at a, that failed at b.
    void silence(std::int64_t a, std::int64_t b);

    struct Terms {
        std::string id = "g";
        std::int64_t gap = 6'000;
        std::int64_t refresh = 0;
        std::int64_t guard = 0;
        std::vector<std::string> askings = {"planes"};
    };
    void open(std::int64_t t, const std::string& sentence) { open(t, sentence, Terms()); }
    void open(std::int64_t t, const std::string& sentence, const Terms& terms);
    void close(std::int64_t t, const std::string& id = "g");

    /// The gate's newest state. Fails the test if there is none.
    [[nodiscard]] GateFinding gate(const std::string& id = "g") const;
    [[nodiscard]] std::vector<GateFinding> history(const std::string& id = "g") const;
    template <class F>
    [[nodiscard]] std::vector<F> all() const {
        std::vector<F> found;
        for (const Finding& finding : findings)
            if (const F* one = std::get_if<F>(&finding))
                found.push_back(*one);
        return found;
    }

  private:
    RoundNumber round_ = 0;
};

/// A witness that runs from 0 on, with one gate opened at 0.
World opened(const std::string& sentence, const World::Terms& terms = World::Terms());

inline constexpr Truth T = Truth::yes;
inline constexpr Truth U = Truth::unknown;
inline constexpr Truth F = Truth::no;

inline const Sheet up = planes({{"1", 'u'}, {"2", 'u'}, {"3", 'u'}});
inline const Sheet shut = planes({{"1", 'u'}, {"2", 'u'}, {"3", 's'}});
inline const Sheet unclear = planes({{"1", 'u'}, {"2", 'u'}, {"3", '?'}});

} // namespace slotwitness::witness::test
