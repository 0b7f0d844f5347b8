#pragma once

#include "document.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A row of a document while it is read: its cells until it closes.
class DocumentRow {
  public:
    DocumentRow(const Document& document, std::size_t begin)
        : document_(&document), begin_(begin) {}

    /// `label` outlives the row; the text is kept without blanks around it.
    void add(std::string_view label, std::string_view text, std::size_t at);
    /// Takes back a cell that something later puts in doubt.
    void withdraw(std::string_view label);

    std::optional<state::Kind> kind;
    bool complete = true;

    [[nodiscard]] std::size_t begin() const { return begin_; }
    /// Gives the row, whose text ends at `end`.
    void close(std::size_t end, const TakeBlock& take) const;

  private:
    struct Kept {
        std::string_view label;
        std::string text;
        std::size_t at;
    };
    const Document* document_;
    std::size_t begin_;
    std::vector<Kept> cells_;
};

} // namespace slotwitness::layouts
