#include "codec.hpp"
#include "utf8.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::journal {

namespace {

using nlohmann::json;

/// Each alternative of `state::Value` under a name of its own, so that a serial number "locked" and
/// the admin-state locked differ.
struct WriteValue {
    json operator()(state::Unknown) const { return nullptr; }
    json operator()(const std::string& text) const { return {{"text", as_utf8(text)}}; }
    json operator()(const state::Names& names) const {
        json out = json::array();
        for (const std::string& name : names)
            out.push_back(as_utf8(name));
        return {{"names", std::move(out)}};
    }
    json operator()(const units::Quantity& quantity) const {
        return {{"quantity", quantity.value.to_text()}, {"unit", to_text(quantity.unit)}};
    }
    template <class Word>
    json operator()(Word word) const {
        return {{"word", to_word(word)}};
    }
};

json write(const state::Position& at) {
    return {{"line", at.line}, {"column", at.column}};
}

json write(const state::Row& row) {
    json facts = json::object();
    for (const auto& [attribute, fact] : row.facts)
        facts[std::string(to_word(attribute))] = {{"value", std::visit(WriteValue{}, fact.value)},
                                                  {"at", write(fact.at)}};
    return {{"kind", to_word(row.kind)},
            {"name", as_utf8(row.name)},
            {"at", write(row.at)},
            {"text", as_utf8(row.text)},
            {"facts", std::move(facts)}};
}

json write(const state::UnreadLine& unread) {
    json out = {{"line", unread.line},
                {"text", as_utf8(unread.text)},
                {"column", unread.column},
                {"expected", as_utf8(unread.expected)}};
    if (!unread.also.empty())
        out["also"] = as_utf8(unread.also);
    return out;
}

json write(const state::Remark& remark) {
    return {{"at", write(remark.at)}, {"text", as_utf8(remark.text)}};
}

template <class Value>
json write(const std::vector<Value>& values) {
    json out = json::array();
    for (const Value& value : values)
        out.push_back(write(value));
    return out;
}

/// The same as canonical text, members in the order of their names.
class WriteReading {
  public:
    explicit WriteReading(std::string& out) : out_(out) {}

    void write(const state::Reading& reading) {
        out_ += "{\"lists\":";
        write_all(reading.lists, [this](state::Kind kind) { word(to_word(kind)); });
        out_ += ",\"remarks\":";
        write_all(reading.remarks, [this](const state::Remark& remark) {
            out_ += "{\"at\":";
            write(remark.at);
            member("text", remark.text);
            out_ += '}';
        });
        out_ += ",\"rows\":";
        write_all(reading.rows, [this](const state::Row& row) { write(row); });
        out_ += ",\"unread\":";
        write_all(reading.unread, [this](const state::UnreadLine& unread) {
            out_ += '{';
            if (!unread.also.empty()) { // else as ever
                out_ += "\"also\":";
                append_canonical(out_, as_utf8(unread.also));
                out_ += ',';
            }
            out_ += "\"column\":" + std::to_string(unread.column);
            member("expected", unread.expected);
            out_ += ",\"line\":" + std::to_string(unread.line);
            member("text", unread.text);
            out_ += '}';
        });
        out_ += reading.whole ? ",\"whole\":true}" : ",\"whole\":false}";
    }

  private:
    void write(const state::Position& at) {
        out_ += "{\"column\":" + std::to_string(at.column) +
                ",\"line\":" + std::to_string(at.line) + "}";
    }
    void write(const state::Row& row) {
        out_ += "{\"at\":";
        write(row.at);
        out_ += ",\"facts\":{";
        std::vector<std::pair<std::string_view, const state::Fact*>> facts;
        for (const auto& [attribute, fact] : row.facts)
            facts.emplace_back(to_word(attribute), &fact);
        std::sort(facts.begin(), facts.end());
        for (const auto& [name, fact] : facts) {
            out_ += fact == facts.front().second ? "" : ",";
            word(name);
            out_ += ":{\"at\":";
            write(fact->at);
            out_ += ",\"value\":";
            std::visit([this](const auto& value) { write_value(value); }, fact->value);
            out_ += '}';
        }
        out_ += "},\"kind\":";
        word(to_word(row.kind));
        member("name", row.name);
        member("text", row.text);
        out_ += '}';
    }
    void write_value(state::Unknown) { out_ += "null"; }
    void write_value(const std::string& text) {
        out_ += "{\"text\":";
        append_canonical(out_, as_utf8(text));
        out_ += '}';
    }
    void write_value(const state::Names& names) {
        out_ += "{\"names\":";
        write_all(names,
                  [this](const std::string& name) { append_canonical(out_, as_utf8(name)); });
        out_ += '}';
    }
    void write_value(const units::Quantity& quantity) {
        out_ += "{\"quantity\":";
        word(quantity.value.to_text());
        out_ += ",\"unit\":";
        word(to_text(quantity.unit));
        out_ += '}';
    }
    template <class Word>
    void write_value(Word value) {
        out_ += "{\"word\":";
        word(to_word(value));
        out_ += '}';
    }
    void word(std::string_view text) { append_canonical(out_, text); }
    void member(std::string_view name, const std::string& text) {
        out_ += ',';
        word(name);
        out_ += ':';
        append_canonical(out_, as_utf8(text));
    }
    template <class Values, class Write>
    void write_all(const Values& values, Write write_one) {
        char separator = '[';
        for (const auto& value : values) {
            out_ += separator;
            write_one(value);
            separator = ',';
        }
        out_ += values.empty() ? "[]" : "]";
    }

    std::string& out_;
};

} // namespace

json to_json(const state::Reading& reading) {
    json lists = json::array();
    for (const state::Kind kind : reading.lists)
        lists.push_back(to_word(kind));
    return {{"whole", reading.whole},
            {"lists", std::move(lists)},
            {"rows", write(reading.rows)},
            {"unread", write(reading.unread)},
            {"remarks", write(reading.remarks)}};
}

std::string canonical(const state::Reading& reading) {
    std::string out;
    WriteReading(out).write(reading);
    return out;
}

std::string digest_of(const state::Reading& reading) {
    return digest_of(canonical(reading));
}

} // namespace slotwitness::journal
