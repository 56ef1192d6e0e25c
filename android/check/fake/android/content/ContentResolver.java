package android.content;

import android.database.Cursor;
import android.database.MatrixCursor;
import android.net.Uri;
import fake.World;
import java.io.File;
import java.io.FileInputStream;
import java.io.FileNotFoundException;
import java.io.FileOutputStream;
import java.io.InputStream;
import java.io.OutputStream;

public class ContentResolver {
    private static File there(Uri address) throws FileNotFoundException {
        File file = World.others.get(address.toString());
        if (file == null) {
            throw new FileNotFoundException("nothing at " + address);
        }
        return file;
    }

    public final Cursor query(Uri address, String[] wanted, String where, String[] arguments, String order) {
        String name = World.names.get(address.toString());
        if (name == null) {
            throw new SecurityException("not for you");
        }
        MatrixCursor cursor = new MatrixCursor(wanted);
        cursor.addRow(new Object[] {name});
        return cursor;
    }

    public final InputStream openInputStream(Uri address) throws FileNotFoundException {
        return new FileInputStream(there(address));
    }

    public final OutputStream openOutputStream(Uri address, String mode) throws FileNotFoundException {
        World.log("write " + mode);
        return new FileOutputStream(there(address));
    }
}
