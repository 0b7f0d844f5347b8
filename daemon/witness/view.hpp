#pragma once

#include "event.hpp"
#include "judgement.hpp"
#include "mentions.hpp"
#include "say.hpp"

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace slotwitness::witness {

/// An answer of the look.
struct Heard {
    std::string asking;
    std::string capture;
    bool whole = false;
    std::string remark; ///< of its ending
    std::shared_ptr<const state::Reading> reading;
    bool proven = true; ///< of its ending

    /// It is meant to list all of this kind.
    [[nodiscard]] bool lists(state::Kind kind) const;
};

/// The event as an answer of a look.
[[nodiscard]] Heard heard_from(const Answered& answer);

/// A query of the look that brought no answer.
struct Silent {
    std::string asking;
    NoAnswer why = NoAnswer::unreachable;
    std::string remark;
};

/// How far answers that are not whole are trusted: not at all (T0), or as they read (T1).
enum class Trust { whole_answers, as_read };

/// What the answers tell of one attribute of one component.
struct Told {
    std::optional<state::Value> value; ///< nothing: `because` says why
    bool missing = false;              ///< no row of it carries the attribute at all
    /// Missing, but a query failed, an answer is cut and not trusted, or one that tells of the kind
    /// has no row of the component and an unread line that may be its row.
    bool may_be_elsewhere = false;
    Because because; ///< cites also with a value
};

/// The answers of one look, joined by component. What several rows say of one component is merged;
/// where rows disagree, or a line that nobody read names it, the component is unknown as a whole.
class View {
  public:
    View(std::vector<Heard> heard, std::vector<Silent> silent);

    /// Every query was answered, and each answer is whole.
    [[nodiscard]] bool all_whole() const;

    /// Names in rows of this kind, in any answer.
    [[nodiscard]] std::set<std::string> listed(state::Kind kind) const;
    [[nodiscard]] bool lists(const Component& component) const {
        return sightings_.contains(component);
    }
    /// `presence` would be yes.
    [[nodiscard]] bool surely_lists(const Component& component, Trust trust) const {
        return trusted_row(component, trust) != nullptr;
    }

    /// Why there may be more of this kind than the rows show; nothing if a whole and wholly read
    /// answer lists them all.
    [[nodiscard]] std::optional<Because> may_have_more(state::Kind kind) const;

    /// Some answer is meant to list all of this kind, whether or not it does.
    [[nodiscard]] bool is_asked_to_list(state::Kind kind) const;

    /// The answers, as a whole, that list all of this kind.
    [[nodiscard]] std::vector<Cite> lists_of(state::Kind kind) const;

    /// Why nothing is known of the component whatever its rows say: two rows disagree, an unread
    /// line names it, or one answer lists it and another, which lists all, does not.
    [[nodiscard]] std::optional<Because> doubt(const Component& component) const;

    /// Is it listed? `no` only where a whole and wholly read answer lists all of its kind.
    [[nodiscard]] Judgement presence(const Component& component, Trust trust) const;

    [[nodiscard]] Told fact(const Component& component, state::Attribute attribute,
                            Trust trust) const;

    /// The value of `fact`, without any reason; null: none.
    [[nodiscard]] const state::Value* value(const Component& component, state::Attribute attribute,
                                            Trust trust) const;
    /// Any row of the component tells of it, be it only that it is not known.
    [[nodiscard]] bool tells(const Component& component, state::Attribute attribute) const;
    /// Of which attributes any row of the component tells.
    [[nodiscard]] std::set<state::Attribute> told_of(const Component& component) const;

    /// Unread lines beside the component's rows, as a reason; nothing if its answers are wholly
    /// read.
    [[nodiscard]] std::optional<Because> unread_beside(const Component& component) const;

  private:
    struct Sighting {
        std::size_t answer = 0;
        const state::Row* row = nullptr; ///< in the reading that heard_ keeps
    };

    /// One that shows that it is listed; null: none does.
    [[nodiscard]] const Sighting* trusted_row(const Component& component, Trust trust) const;
    [[nodiscard]] Cite cite(const Sighting& sighting, state::Position at) const;
    [[nodiscard]] Because unread(const Heard& heard) const;
    [[nodiscard]] Because not_whole(const Heard& heard) const;
    [[nodiscard]] std::optional<Because> not_told() const;
    [[nodiscard]] std::optional<Because> perhaps_unread(const Component& component) const;
    [[nodiscard]] std::optional<Because> contradiction(const Component& component,
                                                       const std::vector<Sighting>& rows) const;
    [[nodiscard]] std::optional<Because> named_by_unread(const Component& component) const;

    std::vector<Heard> heard_;
    std::vector<Silent> silent_;
    std::map<Component, std::vector<Sighting>> sightings_;
    Mentions unread_; ///< the unread lines of all answers
};

/// Two answers may show two values of it, and both be right.
[[nodiscard]] bool moves_by_itself(state::Attribute attribute);

/// The device says that it does not know, or says a word that means nothing to us.
[[nodiscard]] bool is_unknown(const state::Value& value);

} // namespace slotwitness::witness
