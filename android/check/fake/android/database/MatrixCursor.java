package android.database;

import java.util.ArrayList;
import java.util.List;

public class MatrixCursor implements Cursor {
    private final List<Object[]> rows = new ArrayList<>();

    public MatrixCursor(String[] columns) {}

    public void addRow(Object[] row) {
        rows.add(row);
    }

    @Override
    public boolean moveToFirst() {
        return !rows.isEmpty();
    }

    @Override
    public String getString(int column) {
        Object value = rows.get(0)[column];
        return value == null ? null : value.toString();
    }

    @Override
    public void close() {}
}
