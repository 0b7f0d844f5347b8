#pragma once

#include "grammar.hpp"
#include "octet_set.hpp"

#include <optional>
#include <vector>

namespace slotwitness::abnf {

/// What can be known of each element of a grammar before any text is seen.
class Analysis {
  public:
    /// `kept` rules are told apart from the octets that they match: they belong to no class.
    explicit Analysis(const Grammar& grammar, std::vector<bool> kept = {});

    /// It can match nothing at all.
    [[nodiscard]] bool nullable(const Element& element) const;
    /// The octets with which its matches begin.
    [[nodiscard]] OctetSet first(const Element& element) const;
    /// What may come next where `element` stands before `after`.
    [[nodiscard]] OctetSet next(const Element& element, const OctetSet& after) const;
    /// An element that matches one octet of a set, whatever stands around it.
    [[nodiscard]] std::optional<OctetSet> octet_class(const Element& element) const;

    /// What may follow each rule in a match of one of `roots` from begin to end of a text; nothing
    /// for rules that they do not use.
    [[nodiscard]] std::vector<OctetSet> follow(const std::vector<std::size_t>& roots) const;

  private:
    bool spread(const Element& element, const OctetSet& after, std::vector<OctetSet>& follows,
                std::vector<bool>& used) const;

    const Grammar& grammar_;
    std::vector<bool> kept_;
    std::vector<bool> nullable_;
    std::vector<OctetSet> first_;
    std::vector<std::optional<OctetSet>> class_;
};

} // namespace slotwitness::abnf
