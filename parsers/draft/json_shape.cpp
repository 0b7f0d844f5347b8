#include "shape.hpp"
#include "text.hpp"

#include <slotwitness/layouts/json_tokens.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <set>

namespace slotwitness::draft {

namespace {

using Json = nlohmann::ordered_json;

/// The text is JSON within the bounds of the layout.
class Nothing final : public layouts::JsonVisitor {
  public:
    void open(bool, std::size_t) override {}
    void close(std::size_t) override {}
    void name(std::string&, std::size_t, std::size_t) override {}
    void scalar(Scalar, std::string_view, std::size_t, std::size_t) override {}
};

/// RFC 6901, section 3: "~" is written "~0", "/" is written "~1".
std::string token(std::string_view name) {
    std::string text = "/";
    for (const char byte : name)
        text += byte == '~' ? "~0" : byte == '/' ? "~1" : std::string(1, byte);
    return text;
}

bool is_scalar(const Json& value) {
    return !value.is_object() && !value.is_array();
}

bool are_objects(const Json& value) {
    return !value.empty() && std::all_of(value.begin(), value.end(),
                                         [](const Json& each) { return each.is_object(); });
}

/// What one cell may hold: a scalar, or a list of texts that a comma can part.
bool is_cell(const Json& value) {
    return is_scalar(value) ||
           (value.is_array() && !value.empty() &&
            std::all_of(value.begin(), value.end(), [](const Json& each) {
                return is_scalar(each) && !each.is_null() &&
                       !(each.is_string() &&
                         (each.get_ref<const std::string&>().empty() ||
                          each.get_ref<const std::string&>().find(',') != std::string::npos));
            }));
}

/// Where the rows stand: the array of objects with the most elements.
struct Place {
    std::vector<std::string> path; ///< names from the document to the rows
    const Json* rows = nullptr;
};

void search(const Json& value, std::vector<std::string>& path, Place& best) {
    constexpr std::size_t deepest = 4;
    if (value.is_array() && are_objects(value) &&
        (best.rows == nullptr || value.size() > best.rows->size()))
        best = {path, &value};
    if (!value.is_object() || path.size() == deepest)
        return;
    for (const auto& [name, member] : value.items()) {
        path.push_back(name);
        search(member, path, best);
        path.pop_back();
    }
}

class Shaper {
  public:
    explicit Shaper(const Json& document) : document_(document) {}

    std::optional<Layout> shape() && {
        std::vector<std::string> path;
        Place place;
        search(document_, path, place);
        if (place.rows != nullptr) {
            pass_over_beside(place.path);
            for (const std::string& name : place.path)
                shape_.rows += token(name);
            shape_.rows += "/*";
            for (const Json& row : *place.rows)
                see_row(row);
        } else if (document_.is_object() && document_.size() > 1 && are_objects(document_)) {
            shape_.rows = "/*";
            shape_.cells.emplace_back("*");
            for (const Json& row : document_)
                see_row(row);
        } else if (document_.is_object()) {
            see_row(document_);
        }
        std::erase_if(shape_.cells,
                      [&](const std::string& cell) { return nested_.contains(cell); });
        for (const std::string& member : nested_)
            shape_.pass_over.push_back(shape_.rows + member);
        return shape_.cells.empty() ? std::nullopt : std::optional<Layout>(shape_);
    }

  private:
    void see_row(const Json& row) {
        for (const auto& [name, value] : row.items()) {
            const std::string cell = token(name);
            if (!is_cell(value))
                nested_.insert(cell);
            if (std::find(shape_.cells.begin(), shape_.cells.end(), cell) == shape_.cells.end())
                shape_.cells.push_back(cell);
        }
    }

    void pass_over_beside(const std::vector<std::string>& path) {
        const Json* level = &document_;
        std::string above;
        for (const std::string& name : path) {
            for (const auto& [other, value] : level->items())
                if (other != name)
                    shape_.pass_over.push_back(above + token(other));
            above += token(name);
            level = &level->at(name);
        }
    }

    const Json& document_;
    JsonShape shape_;
    std::set<std::string> nested_; ///< members that are no cell in some row
};

} // namespace

std::vector<Layout> json_shapes(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos || (text[first] != '{' && text[first] != '['))
        return {};
    Nothing nothing;
    if (layouts::visit_json(text, true, nothing))
        return {};
    const Json document = Json::parse(text, nullptr, false);
    if (document.is_discarded())
        return {};
    auto shape = Shaper{document}.shape();
    return shape ? std::vector<Layout>{std::move(*shape)} : std::vector<Layout>{};
}

} // namespace slotwitness::draft
