#pragma once

#include "json_paths.hpp"

#include <cstddef>
#include <string>
#include <unordered_set>
#include <vector>

namespace slotwitness::layouts {

/// What becomes of a value.
enum class JsonFate {
    read,    ///< a row or a cell, or one lies in it
    listed,  ///< an array that is one cell, or what stands in one
    aside,   ///< passed over
    unread,  ///< nobody names it
    second,  ///< its object had a member of this name already
    skipped, ///< it lies in one of the three above
};

/// Where in a document its reader is, and what the specification's pointers say of that place.
class JsonTrail {
  public:
    /// `paths` must outlive this.
    explicit JsonTrail(const JsonPaths& paths) : paths_(paths) {}

    /// Where a name stands, from its quote on.
    struct Member {
        std::string name;
        std::size_t begin = 0;
        std::size_t end = 0;
    };
    /// An object or array that is open.
    struct Level {
        JsonFate fate;
        std::size_t begin; ///< of its member's name, if it has one
        Reached reached;
        bool has_rows; ///< the next step towards the rows was there
        bool is_object;
        bool is_quiet; ///< `pass_over` names it, or what it lies in
        std::size_t count;
        std::unordered_set<std::string> names;
    };

    /// The member's name that comes before its value. False where nobody reads names.
    bool name(std::string& name, std::size_t begin, std::size_t end);
    /// A value that begins here. What is told of it stays until the next one arrives.
    JsonFate arrive(std::size_t begin);
    /// The value that arrived is an object or an array.
    void enter(bool is_object, JsonFate fate);
    /// The innermost one closes.
    Level leave(std::size_t end);

    /// How many objects and arrays are open around the value.
    [[nodiscard]] std::size_t depth() const { return levels_.size(); }
    /// Where the value begins, or its member's name; behind what closed last.
    [[nodiscard]] std::size_t item() const { return item_; }
    void item_ends(std::size_t end) { item_ = end; }
    [[nodiscard]] bool is_member() const { return !levels_.empty() && levels_.back().is_object; }
    [[nodiscard]] const Member& member() const { return member_; }
    [[nodiscard]] const Reached& reached() const { return reached_; }
    /// The member that the `*` of the rows stands for.
    [[nodiscard]] const Member& row_member() const { return row_member_; }

  private:
    void note_rows(Level& level, std::size_t depth);

    const JsonPaths& paths_;
    std::vector<Level> levels_;
    std::size_t item_ = 0;
    Member member_;
    bool is_second_ = false;
    Reached reached_;
    bool is_quiet_ = false;
    Member row_member_;
};

} // namespace slotwitness::layouts
