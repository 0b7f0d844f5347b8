#include "record.hpp"
