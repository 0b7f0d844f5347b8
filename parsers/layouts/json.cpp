#include "json.hpp"

#include "document.hpp"
#include "document_row.hpp"
#include "json_tokens.hpp"
#include "json_trail.hpp"
#include "lines.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::layouts {
namespace {

using To = JsonPath::To;
using Fate = JsonFate;

class JsonReader final : public JsonVisitor {
  public:
    JsonReader(const Document& document, const JsonPaths& paths, const TakeBlock& take)
        : document_(document), paths_(paths), take_(take), trail_(paths) {}

    void open(bool is_object, std::size_t begin) override {
        Fate fate = arrive(begin);
        if (fate == Fate::listed) {
            list_->is_sound = false;
            fate = unread("a text, a number, true or false in a list");
        } else if (fate == Fate::read) {
            fate = open_read(is_object, begin);
        }
        if (fate == Fate::unread || fate == Fate::second || fate == Fate::aside)
            skipped_ = {trail_.item(), trail_.depth(), fate == Fate::aside, expected_};
        trail_.enter(is_object, fate);
    }

    void close(std::size_t end) override {
        const JsonTrail::Level level = trail_.leave(end);
        const std::size_t depth = trail_.depth();
        if (skipped_ && skipped_->depth == depth) {
            if (skipped_->is_aside)
                document_.set_aside(leftover_, skipped_->begin, end);
            else
                refuse(skipped_->begin, end, skipped_->begin, skipped_->expected);
            skipped_.reset();
        } else if (level.fate == Fate::listed) {
            if (list_->is_sound)
                row_->add(list_->cell->label, list_->text, list_->begin);
            list_.reset();
        } else if (level.fate == Fate::read) {
            const JsonPath* rows = towards_rows(level.reached, depth);
            if (rows != nullptr && !rows->pointer.tokens[depth].any && !level.has_rows)
                refuse(level.begin, end, end - 1, missing_towards(*rows, depth));
        }
        if (row_ && row_depth_ == depth)
            close_row(end);
    }

    void name(std::string& name, std::size_t begin, std::size_t end) override {
        if (!trail_.name(name, begin, end))
            show_unescaped(name, begin, end);
    }

    void scalar(Scalar kind, std::string_view value, std::size_t begin, std::size_t end) override {
        switch (arrive(begin)) {
        case Fate::read:
            read_scalar(kind, value, begin, end);
            return;
        case Fate::listed:
            if (add_to_list(value, begin, end))
                return;
            break;
        case Fate::aside:
            document_.set_aside(leftover_, trail_.item(), end);
            return;
        case Fate::unread:
        case Fate::second:
            refuse(trail_.item(), end, trail_.item(), expected_);
            break;
        case Fate::skipped:
            break;
        }
        if (kind == Scalar::text)
            show_unescaped(value, begin, end);
    }

    Leftover finish(const std::optional<JsonStop>& stop, bool ended) && {
        if (stop) {
            const std::size_t size = document_.text().size();
            const char* at_end = ended ? " before the end of the answer" : ", where it was cut";
            const std::size_t begin = skipped_ ? skipped_->begin
                                      : list_  ? list_->begin
                                               : trail_.item();
            document_.refuse(leftover_, std::min(begin, stop->at), size, stop->at,
                             stop->expected + (stop->at == size ? at_end : ""));
            leftover_.is_cut = stop->at == size;
            if (row_) {
                row_->complete = false;
                row_->close(stop->at, take_);
            }
        }
        sort_by_line(leftover_);
        return std::move(leftover_);
    }

  private:
    struct Skipped {
        std::size_t begin;
        std::size_t depth;
        bool is_aside;
        std::string expected;
    };
    struct List {
        const JsonPath* cell;
        std::size_t begin;
        bool is_sound;
        std::string text;
    };

    Fate unread(std::string expected) {
        expected_ = std::move(expected);
        return Fate::unread;
    }

    Fate arrive(std::size_t begin) {
        const Fate fate = trail_.arrive(begin);
        if (fate != Fate::unread && fate != Fate::second)
            return fate;
        expected_ = fate == Fate::second ? "a member name that this object does not have yet"
                                         : "a member that the profile names, or pass-over";
        if (trail_.is_member()) {
            const auto& member = trail_.member();
            show_unescaped(member.name, member.begin, member.end);
        }
        if (fate == Fate::second && row_)
            for (const JsonPath* path : trail_.reached())
                if (path->to == To::cell)
                    row_->withdraw(path->label); // the second could tell otherwise
        return fate;
    }

    Fate open_read(bool is_object, std::size_t begin) {
        const std::size_t depth = trail_.depth();
        begin_row_here();
        if (const JsonPath* rows = towards_rows(trail_.reached(), depth);
            rows != nullptr && !is_object && paths_.wants_key() && rows->pointer.tokens[depth].any)
            return unread("an object, whose members' names are the cells \"*\"");
        const JsonPath* cell = ending(trail_.reached(), To::cell, depth);
        if (cell == nullptr)
            return Fate::read;
        if (is_object)
            return unread("a text, a number, true, false, null or a list of them");
        list_ = {cell, begin, true, {}};
        return Fate::listed;
    }

    void read_scalar(Scalar kind, std::string_view value, std::size_t begin, std::size_t end) {
        const std::size_t depth = trail_.depth();
        begin_row_here();
        if (const JsonPath* cell = ending(trail_.reached(), To::cell, depth)) {
            if (is_legible(value))
                row_->add(cell->label, value, kind == Scalar::text ? inside_quotes(begin) : begin);
            else
                refuse(trail_.item(), end, begin, legible());
        } else {
            const JsonPath* rows = towards_rows(trail_.reached(), depth);
            refuse(trail_.item(), end, begin,
                   rows != nullptr ? missing_towards(*rows, depth)
                                   : "an object or an array with the cells that the profile names");
        }
        if (row_ && row_depth_ == depth) {
            trail_.item_ends(end);
            close_row(end);
        }
    }

    bool add_to_list(std::string_view value, std::size_t begin, std::size_t end) {
        const bool is_plain = is_legible(value) && !without_blanks(value).empty() &&
                              value.find(',') == std::string_view::npos &&
                              list_->text.size() + value.size() <= longest_line;
        if (!is_plain) {
            list_->is_sound = false;
            expected_ = "an element of a list that is neither empty nor has a comma inside";
            refuse(begin, end, begin, expected_);
            return false;
        }
        list_->text.append(list_->text.empty() ? "" : ", ").append(without_blanks(value));
        return true;
    }

    void begin_row_here() {
        if (ending(trail_.reached(), To::row, trail_.depth()) == nullptr)
            return;
        row_.emplace(document_, trail_.item());
        row_depth_ = trail_.depth();
        if (!paths_.wants_key())
            return;
        const auto& member = trail_.row_member();
        if (is_legible(member.name))
            row_->add(paths_.key_label(), member.name, inside_quotes(member.begin));
        else
            refuse(member.begin, member.end, member.begin, legible());
    }

    void close_row(std::size_t end) {
        row_->close(end, take_);
        row_.reset();
    }

    /// Of a string, the byte where its text begins.
    [[nodiscard]] std::size_t inside_quotes(std::size_t begin) const {
        return document_.text().find_first_not_of(' ', begin + 1);
    }

    static std::string legible() {
        return "printable text of at most " + std::to_string(longest_line) +
               " bytes, without control bytes";
    }
    static bool is_legible(std::string_view text) {
        return text.size() <= longest_line && !has_control_byte(text);
    }

    void refuse(std::size_t begin, std::size_t end, std::size_t at, const std::string& expected) {
        if (row_)
            row_->complete = false;
        document_.refuse(leftover_, begin, end, at, expected);
    }

    /// What an unread string says once its escapes are undone: it may name what its text does not.
    void show_unescaped(std::string_view value, std::size_t begin, std::size_t end) {
        const bool is_aside = skipped_ && skipped_->is_aside;
        if (is_aside || !is_legible(value) || value.size() + 2 == end - begin)
            return;
        const state::Position at = document_.position(begin);
        leftover_.unread.push_back(
            {at.line, std::string{value}, at.column, skipped_ ? skipped_->expected : expected_});
    }

    const Document& document_;
    const JsonPaths& paths_;
    const TakeBlock& take_;
    JsonTrail trail_;
    Leftover leftover_;
    std::optional<Skipped> skipped_; ///< what is not read, until it closes
    std::optional<List> list_;
    std::optional<DocumentRow> row_;
    std::size_t row_depth_ = 0;
    std::string expected_; ///< where the last value is not read
};

} // namespace

Leftover read_json(std::string_view answer, const JsonSpec& spec, bool ended,
                   const TakeBlock& take) {
    const Document document{answer};
    const auto paths = JsonPaths::of(spec);
    if (!paths) {
        Leftover leftover;
        document.refuse(leftover, 0, answer.size(), 0, paths.error());
        return leftover;
    }
    JsonReader reader{document, *paths, take};
    const auto stop = visit_json(answer, ended, reader);
    return std::move(reader).finish(stop, ended);
}

} // namespace slotwitness::layouts
